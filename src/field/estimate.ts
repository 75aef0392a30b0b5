import type { PanelSurface } from '../geometry/index.js';
import { done, type Outcome } from '../units/index.js';
import type { FieldGeometry } from './layers.js';
import type { FieldResult } from './problem.js';
import { quantiles, SHARES, samplePanels } from './quantiles.js';
import { FieldSolver, type SolveOptions, type SolverOptions } from './solver.js';
import type { Kinetics } from './system.js';

/** The figures of a result that people compare. */
export interface FieldFigures {
  /** Voltage over current [ohm]. */
  resistance: number;
  /** Quantiles of |i| / mean |i| at SHARES, per patch; empty for an insulator. */
  quantiles: number[][];
}

/** Estimated relative error of the resistance, and of each quantile (in units of the mean current density). */
export interface FieldErrors {
  resistance: number;
  quantiles: number[][];
}

export function figuresOf({ layers }: FieldSolver, { patches }: Kinetics, result: FieldResult): FieldFigures {
  const { panels } = layers.d;
  return {
    resistance: result.cellVoltage / result.current,
    quantiles: patches.map(({ role }, k) =>
      role === 'insulator'
        ? []
        : quantiles(
            samplePanels(layers, result.nodes.currentDensity, (p) => panels.patch[p] === k),
            SHARES,
          ),
    ),
  };
}

/** Two results may agree by chance: less than this is never claimed (relative, and of the mean current density). */
const LEAST = { resistance: 2e-4, quantile: 5e-4 };

/**
 * The finer of two results errs by less than it differs from the coarser one as long as refinement halves the error or
 * better; `safety` covers the cases in which two errors happen to agree. Works between two meshes of one set-up (then
 * the geometry's error is in it) and between two orders on one mesh (then it is not).
 */
export function errorsBetween(coarse: FieldFigures, fine: FieldFigures, safety: number): FieldErrors {
  return {
    resistance: Math.max(LEAST.resistance, safety * Math.abs(coarse.resistance / fine.resistance - 1)),
    quantiles: fine.quantiles.map((list, k) =>
      list.map((q, n) => Math.max(LEAST.quantile, safety * Math.abs(q - coarse.quantiles[k][n]))),
    ),
  };
}

/**
 * The next lower order on the same panels, and how far the difference to it is trusted (linear to constant is a long step
 * already). Where orders are mixed, six becomes three and the rest stays.
 */
function companion(nodes: 1 | 3 | 6 | Uint8Array): { nodes: 1 | 3 | Uint8Array; safety: number } | null {
  if (typeof nodes !== 'number')
    return nodes.includes(6)
      ? { nodes: nodes.map((n) => (n === 6 ? 3 : n)), safety: 2 }
      : { nodes: new Uint8Array(nodes.length).fill(1), safety: 1 };
  return nodes === 6 ? { nodes: 3, safety: 2 } : nodes === 3 ? { nodes: 1, safety: 1 } : null;
}

/** Six nodes on the panels of the patches chosen (the part, say), three elsewhere: rich where the answer is read. */
export const richOn = (surface: PanelSurface, chosen: (patch: number) => boolean): Uint8Array =>
  Uint8Array.from(surface.patch, (patch) => (chosen(patch) ? 6 : 3));

export interface EstimatedResult {
  solver: FieldSolver;
  result: FieldResult;
  figures: FieldFigures;
  /** `null` where nothing was compared: one node a panel, or no convergence. */
  errors: FieldErrors | null;
}

/**
 * Solves, and solves again with the next lower order on the same panels to see how much that changes. It measures what
 * the panels do to the solution, not how well they follow the true body: for that compare two meshes.
 */
export function solveWithEstimate(
  geometry: FieldGeometry,
  kinetics: Kinetics,
  options: SolverOptions & SolveOptions = {},
): Outcome<EstimatedResult> {
  const prepared = FieldSolver.prepare(geometry, options);
  if (!prepared.ok) return prepared;
  const solver = prepared.value;
  const result = solver.solve(kinetics, options);
  const figures = figuresOf(solver, kinetics, result);
  const lowerOrder = companion(geometry.nodesPerPanel ?? 3);
  let errors: FieldErrors | null = null;
  if (lowerOrder && result.status === 'converged') {
    const lower = FieldSolver.prepare({ ...geometry, nodesPerPanel: lowerOrder.nodes }, options);
    if (!lower.ok) return lower;
    const coarse = lower.value.solve(kinetics, { ...options, tolerance: 1e-5 });
    if (coarse.status === 'converged')
      errors = errorsBetween(figuresOf(lower.value, kinetics, coarse), figures, lowerOrder.safety);
    lower.value.release();
  }
  return done({ solver, result, figures, errors }, prepared.warnings);
}
