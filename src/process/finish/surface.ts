import { type Deposit, timeToBuild } from '../../electrode/index.js';
import type { Practice } from '../records/practice.js';

/** How much copper buries a pit when it is sanded flat afterwards: the depth itself at least, realistically half as much again to twice (from memory). */
const BURY = { from: 1.5, to: 2 };

export interface Levelling {
  /** Copper to plate over all [m]. */
  copper: { min: number; max: number };
  /** Of it sanded away again [m]. */
  sanded: { min: number; max: number };
  /** Plating time [s]. */
  time: { min: number; max: number };
  /** Rounds of plating and sanding at `perRound` of copper. */
  rounds: { min: number; max: number };
}

/**
 * Copper, time and rounds to bury pits by plating over all and sanding back: a deposit without levelling additive
 * copies the pit, and only sanding the high ground lowers it.
 *
 * @param depth deepest pit [m]
 * @param currentDensity [A/m2]
 * @param perRound copper between two sandings [m]
 */
export function levelling(
  copper: Deposit,
  depth: number,
  currentDensity: number,
  efficiency: number,
  perRound = 50e-6,
): Levelling {
  const build = (t: number) => timeToBuild(copper, currentDensity, t, efficiency);
  const min = BURY.from * depth;
  const max = BURY.to * depth;
  return {
    copper: { min, max },
    sanded: { min: min - depth, max: max - depth },
    time: { min: build(min), max: build(max) },
    rounds: { min: Math.ceil(min / perRound), max: Math.ceil(max / perRound) },
  };
}

export interface PolishStep {
  abrasive: string;
  /** Scratches it leaves [m]. */
  leaves: number;
  /** Metal it must take to remove the scratches of the step before [m]. */
  takes: number;
  /** Look for this before going on. */
  until: string;
}

/** Depth of the scratches over the size of the grain, and the largest useful jump from grain to grain (from memory). */
const SCRATCH = 0.2;
const JUMP = 2.5;

/**
 * Polishing order from a starting roughness to a wanted one: each abrasive leaves scratches about a fifth of its grain
 * and must take off what the one before left. The order stops as soon as the wanted finish is reached.
 *
 * @param from deepest scratch or roughness now [m]
 * @param to scratch depth that is good enough [m]; satin about 1 um, mirror about 0.1 um (judgement)
 */
export function polishOrder(practice: Practice, from: number, to: number): PolishStep[] {
  const grains = [...practice.abrasives.values()].sort((a, b) => b.grain - a.grain);
  const useful = grains.filter((g) => SCRATCH * g.grain < from);
  const steps: PolishStep[] = [];
  let depth = from;
  let grain = Number.POSITIVE_INFINITY;
  for (const [i, { id, grain: size }] of useful.entries()) {
    if (depth <= to * (1 + 1e-9)) break;
    const next = useful[i + 1];
    // Skip a paper when the one after it can follow without too great a jump; the finish reached decides the last.
    if (next && steps.length > 0 && next.grain * JUMP >= grain && SCRATCH * size > to * (1 + 1e-9)) continue;
    steps.push({
      abrasive: id,
      leaves: SCRATCH * size,
      takes: depth,
      until: steps.length ? 'the scratches run only across those before' : 'pits and old scratches are gone',
    });
    depth = SCRATCH * size;
    grain = size;
  }
  return steps;
}
