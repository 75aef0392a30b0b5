import type { PanelSurface } from '../geometry/index.js';
import { done, type Outcome } from '../units/index.js';
import { basisOf } from './basis.js';
import { type EstimatedResult, solveWithEstimate } from './estimate.js';
import type { FieldGeometry } from './layers.js';
import { HALF_AB, QUARTERS, splitPanels, WHOLE, woundSurface } from './refine.js';
import type { SolveOptions, SolverOptions } from './solver.js';
import type { Kinetics } from './system.js';

/** What each accuracy asks for and may cost. */
export interface AccuracyGoal {
  /** Estimated relative error of the resistance and of the 5 % and 95 % quantiles (of the mean) to stop at. */
  resistance: number;
  quantiles: number;
  /** Panels never exceeded by refinement. */
  mostPanels: number;
}

export const ACCURACY: Readonly<Record<'draft' | 'standard' | 'fine', AccuracyGoal>> = {
  draft: { resistance: 0.01, quantiles: 0.1, mostPanels: 400 },
  standard: { resistance: 0.003, quantiles: 0.05, mostPanels: 1200 },
  fine: { resistance: 0.001, quantiles: 0.02, mostPanels: 3000 },
};

/** Panels to begin with: fewer do not show where the trouble is. */
const FIRST_PANELS = 150;
const ROUNDS = 8;
/** Share of the summed indicator whose panels are cut in one round (Doerfler's marking). */
const BULK = 0.7;

export interface AdaptedResult extends EstimatedResult {
  surface: PanelSurface;
  rounds: number;
  /** Whether the goal was met before the panels ran out. */
  met: boolean;
}

/**
 * Solves, sees where the current density and the potential bend most within a panel, cuts those panels (across the
 * direction of bending, so that they stretch along edges), and solves again, until two orders on the same panels agree
 * to the goal. The surface itself stays as given: facets stay facets.
 */
export function solveAdaptively(
  geometry: FieldGeometry,
  kinetics: Kinetics,
  goal: AccuracyGoal,
  options: SolverOptions & SolveOptions = {},
): Outcome<AdaptedResult> {
  const wound = woundSurface(geometry.surface, geometry.mirrorHeight, geometry.unbounded === true);
  if (!wound.ok) return wound;
  let surface = wound.value;
  while (surface.patch.length < FIRST_PANELS)
    surface = splitPanels(surface, new Uint8Array(surface.patch.length).fill(QUARTERS)).surface;
  for (let round = 1; ; round++) {
    const solved = solveWithEstimate({ ...geometry, surface, nodesPerPanel: 6 }, kinetics, options);
    if (!solved.ok) return solved;
    const met = goalMet(solved.value, goal);
    const cut = chooseCuts(solved.value, kinetics.conductivity, goal.mostPanels);
    if (
      met ||
      round === ROUNDS ||
      cut.every((c) => c === WHOLE) ||
      solved.value.result.status !== 'converged'
    )
      return done({ ...solved.value, surface, rounds: round, met }, solved.warnings);
    solved.value.solver.release();
    surface = splitPanels(surface, cut).surface;
  }
}

/** Places of the 5 % and 95 % quantile among SHARES. */
const JUDGED = [2, 6];

function goalMet({ errors }: EstimatedResult, goal: AccuracyGoal): boolean {
  if (!errors || errors.resistance > goal.resistance) return false;
  return errors.quantiles.every(
    (list) => list.length === 0 || JUDGED.every((n) => list[n] <= goal.quantiles),
  );
}

/**
 * Indicator of each panel: area times the squared second differences of its quadratic current density, and of its
 * potential turned into one (conductivity over panel size). The largest are cut, those that make up BULK of the sum.
 */
function chooseCuts(
  { solver, result }: EstimatedResult,
  conductivity: number,
  mostPanels: number,
): Uint8Array {
  const { panels, nodes } = solver.layers.d;
  const count = panels.count;
  const bend = new Float64Array(3 * count);
  const indicator = new Float64Array(count);
  let sum = 0;
  for (let p = 0; p < count; p++) {
    const first = nodes.start[p];
    let area = 0;
    for (let k = 0; k < 6; k++) area += nodes.weight[first + k];
    const current = alongSides(result.nodes.currentDensity, first);
    const potential = alongSides(result.nodes.potential, first);
    const perVolt = conductivity / Math.sqrt(area);
    let most = 0;
    for (let side = 0; side < 3; side++) {
      const v = Math.hypot(current[side], perVolt * potential[side]);
      bend[3 * p + side] = v;
      most = Math.max(most, v);
    }
    indicator[p] = area * most * most;
    sum += indicator[p];
  }
  const order = Array.from({ length: count }, (_, p) => p).sort((a, b) => indicator[b] - indicator[a]);
  const cut = new Uint8Array(count);
  let marked = 0;
  let total = count;
  for (const p of order) {
    if (marked >= BULK * sum || total >= mostPanels) break;
    marked += indicator[p];
    const sides = bend.subarray(3 * p, 3 * p + 3);
    const most = Math.max(...sides);
    const second = sides[0] + sides[1] + sides[2] - most - Math.min(...sides);
    const way = second > 0.4 * most ? QUARTERS : HALF_AB + sides.indexOf(most);
    cut[panels.origin[p]] = way;
    total += way === QUARTERS ? 3 : 1;
  }
  return cut;
}

/** Second differences of the quadratic through six nodes along sides ab, bc, ca. */
function alongSides(values: Float64Array, first: number): [number, number, number] {
  const { coef } = basisOf(6);
  let ss = 0;
  let st = 0;
  let tt = 0;
  for (let k = 0; k < 6; k++) {
    const v = values[first + k];
    ss += coef[6 * k + 3] * v;
    st += coef[6 * k + 4] * v;
    tt += coef[6 * k + 5] * v;
  }
  return [Math.abs(ss), Math.abs(ss - st + tt), Math.abs(tt)];
}
