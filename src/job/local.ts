import { growthPerCharge } from '../electrode/index.js';
import { type FieldResult, samplePanels } from '../field/index.js';
import type { Chemistry, Laws } from './chemistry.js';
import type { SetUp } from './set-up.js';

/** What happens at each node of a solved set-up: values on the part and the other metal hung with it, zero elsewhere. */
export interface Local {
  /** Deposit growth [m/s]. */
  growth: Float64Array;
  /** Total cathodic current density [A/m2], positive. */
  currentDensity: Float64Array;
  /** Current density that deposits metal, and that makes hydrogen [A/m2]. */
  metal: Float64Array;
  hydrogen: Float64Array;
  /** Metal current over its limit. */
  limitFraction: Float64Array;
  /** pH at the surface; NaN off the work. */
  surfacePH: Float64Array;
}

/** Splits the current at every node of the work into what it does there. */
export function localValues(setUp: SetUp, laws: Laws, chemistry: Chemistry, result: FieldResult): Local {
  const { nodes } = result;
  const zeros = () => new Float64Array(nodes.count);
  const local: Local = {
    growth: zeros(),
    currentDensity: zeros(),
    metal: zeros(),
    hydrogen: zeros(),
    limitFraction: zeros(),
    surfacePH: zeros().fill(Number.NaN),
  };
  const perCharge = growthPerCharge(chemistry.metal.deposit);
  const { patch } = setUp.domain.surface;
  for (let i = 0; i < nodes.count; i++) {
    const number = patch[nodes.panel[i]!]!;
    if (setUp.roles[number]!.role !== 'work') continue;
    const eta = result.patches[number]!.potential - nodes.potential[i]! - laws.cathode.restPotential;
    const split = laws.cathode.split(eta);
    local.currentDensity[i] = -nodes.currentDensity[i]!;
    local.metal[i] = split.metal;
    local.hydrogen[i] = split.hydrogen;
    local.growth[i] = perCharge * split.metal;
    local.limitFraction[i] = split.limitFraction;
    local.surfacePH[i] = split.surfacePH;
  }
  return local;
}

/** Integral of a nodal quantity over the panels chosen (flag per panel). */
export function integral(result: FieldResult, nodal: Float64Array, chosen: Uint8Array): number {
  const { count, panel, weight } = result.nodes;
  let sum = 0;
  for (let i = 0; i < count; i++) if (chosen[panel[i]!]) sum += nodal[i]! * weight[i]!;
  return sum;
}

export const areaOf = (result: FieldResult, chosen: Uint8Array): number =>
  result.nodes.panel.reduce((sum, p, i) => (chosen[p] ? sum + result.nodes.weight[i]! : sum), 0);

/** Mean over the area of the panels chosen. */
export const meanOf = (result: FieldResult, nodal: Float64Array, chosen: Uint8Array): number =>
  integral(result, nodal, chosen) / areaOf(result, chosen);

/**
 * A nodal quantity as many small pieces of known area, in rising order, to take quantiles of. A thickness is something
 * measured on a spot: the outermost one in two thousand of the area at either end counts as what lies next to it, so that
 * neither a singular corner nor a sliver of a panel at a junction speaks for the part.
 */
export interface Spread {
  value: Float64Array;
  /** Share of the area at or below each value. */
  below: Float64Array;
  area: number;
  mean: number;
}

export function spreadOf(setUp: SetUp, nodal: Float64Array, chosen: Uint8Array): Spread {
  const { layers } = setUp.solver;
  const samples = samplePanels(layers, nodal, (p) => chosen[layers.d.panels.origin[p]!] === 1);
  const order = Float64Array.from(samples.value.keys()).sort((a, b) => samples.value[a]! - samples.value[b]!);
  const value = new Float64Array(order.length);
  const below = new Float64Array(order.length);
  let area = 0;
  let moment = 0;
  order.forEach((k, at) => {
    value[at] = samples.value[k]!;
    area += samples.area[k]!;
    moment += samples.value[k]! * samples.area[k]!;
    below[at] = area;
  });
  for (let k = 0; k < below.length; k++) below[k] = below[k]! / area;
  const spread = { value, below, area, mean: moment / area };
  const [least, most] = [quantileOf(spread, SPOT), quantileOf(spread, 1 - SPOT)];
  for (let k = 0; k < value.length; k++) value[k] = Math.min(most, Math.max(least, value[k]!));
  return spread;
}

/** Share of the area too small to measure. */
const SPOT = 5e-4;

/** Value that a share of the area lies at or below; 0 and 1 give the extremes. */
export function quantileOf({ value, below }: Spread, share: number): number {
  let low = 0;
  let high = below.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (below[middle]! < share) low = middle + 1;
    else high = middle;
  }
  return value[low]!;
}

/** Area [m2] where the value lies below a bound. */
export function areaBelow({ value, below, area }: Spread, bound: number): number {
  let count = 0;
  while (count < value.length && value[count]! < bound) count++;
  return count === 0 ? 0 : area * below[count - 1]!;
}
