import { type Deposit, growthPerCharge } from './faraday.js';

/**
 * Adds what a step lays down to the thickness by place [m].
 *
 * Steps, levels of a ramp, pulses and poses of a turned part all add the same way, because the deposit is thin
 * against everything that shapes the field: thickness is a sum over (metal current density, time).
 *
 * @param thickness changed in place, one value a node of the part
 * @param metalCurrentDensity [A/m2] per node, positive = deposition; negative takes deposit off, never below zero
 * @param time [s]
 */
export function addDeposit(
  thickness: Float64Array,
  metalCurrentDensity: Float64Array,
  time: number,
  metal: Deposit,
): void {
  const rate = growthPerCharge(metal) * time;
  for (let k = 0; k < thickness.length; k++)
    thickness[k] = Math.max(0, thickness[k]! + rate * metalCurrentDensity[k]!);
}

/** What a run takes off an anode. */
export interface Wear {
  /** Deepest loss [m] and the node it is at. */
  deepest: number;
  node: number;
  /** Metal dissolved [kg]. */
  mass: number;
  /** Runs like this one until the first place is through, counted from now. Infinity when nothing dissolves. */
  runsLeft: number;
  /** Node that goes first: thin places do, even where the loss is not deepest. */
  first: number;
}

/**
 * Wear of a dissolving anode by place. A strip is eaten from both faces, so it has half its thickness to give at each;
 * a rod has its radius. That is why strips wear through where they are thin while a rod lasts.
 *
 * @param dissolution [A/m2] per node, positive
 * @param weight area of each node [m2]
 * @param room metal behind each node before it is through [m]
 * @param time [s]
 */
export function anodeWear(
  dissolution: Float64Array,
  weight: Float64Array,
  room: Float64Array,
  time: number,
  metal: Deposit,
): Wear {
  const rate = growthPerCharge(metal) * time;
  const wear: Wear = { deepest: 0, node: -1, mass: 0, runsLeft: Number.POSITIVE_INFINITY, first: -1 };
  for (let k = 0; k < dissolution.length; k++) {
    const loss = rate * dissolution[k]!;
    wear.mass += loss * weight[k]! * metal.density;
    if (loss > wear.deepest) {
      wear.deepest = loss;
      wear.node = k;
    }
    if (loss > 0 && room[k]! / loss < wear.runsLeft) {
      wear.runsLeft = room[k]! / loss;
      wear.first = k;
    }
  }
  return wear;
}
