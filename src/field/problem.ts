import type { PanelSurface } from '../geometry/index.js';

/**
 * Relation of current density and overpotential at an electrode surface.
 * eta = metal - solution - equilibrium potential [V]; i from metal into solution [A/m2], so an anode has i > 0.
 */
export type Law = LawKind & { limitingCurrentDensity?: number; equilibriumPotential?: number };
export type LawKind =
  | { kind: 'fixed' }
  | { kind: 'linear'; resistance: number }
  | { kind: 'tafel'; exchangeCurrentDensity: number; slope: number }
  | {
      kind: 'butler-volmer';
      exchangeCurrentDensity: number;
      anodicTransfer: number;
      cathodicTransfer: number;
      temperature: number;
    }
  | { kind: 'table'; overpotential: number[]; currentDensity: number[] }
  | { kind: 'curve'; curve: LawCurve };

/** A law given as a function: strictly increasing i(eta) with its derivative. */
export interface LawCurve {
  /** Returns [i, di/deta] in [A/m2] and [A/(m2 V)] at an overpotential [V]. */
  at(overpotential: number): readonly [number, number];
}

export type Role = 'cathode' | 'anode' | 'insulator' | 'floating';

export interface PatchSpec {
  role: Role;
  /** Needed for every role but `insulator`. */
  law?: Law;
}

/** Metal-to-metal voltage [V], or the current [A] through the cell. */
export type Drive = { current: number } | { voltage: number };

export interface FieldProblem {
  /** Conductivity of the electrolyte [S/m]. */
  conductivity: number;
  /** Boundary of the electrolyte; orientation is found by the solver, shell by shell. */
  surface: PanelSurface;
  /** One entry per patch number of the surface. */
  patches: PatchSpec[];
  drive: Drive;
  /**
   * Height z [m] of a flat insulating liquid surface treated as a mirror: the surface then ends at that plane and has
   * no panels in it, so that a wire or an anode crosses it without a seam.
   */
  mirrorHeight?: number;
  /** No vessel: the electrolyte fills all space outside the electrodes. */
  unbounded?: boolean;
  /** Unknowns a panel: 1, 3 or 6 (constant, linear, quadratic current density). */
  nodesPerPanel?: 1 | 3 | 6;
}

export type FieldStatus = 'converged' | 'stalled' | 'out-of-range' | 'cancelled';

/** Values at the nodes inside the panels where the solution is known, with quadrature weights that sum to the area. */
export interface NodeValues {
  /** Number of nodes. */
  count: number;
  /** xyz [m]. */
  position: Float64Array;
  /** Outward normal of the electrolyte (points out of the liquid, into the metal or wall). */
  normal: Float64Array;
  /** Area weight [m2]. */
  weight: Float64Array;
  /** Panel each node belongs to. */
  panel: Int32Array;
  /** Potential of the solution at the surface [V]. */
  potential: Float64Array;
  /** Current density from metal into solution [A/m2]; negative on a cathode. */
  currentDensity: Float64Array;
}

export interface PatchResult {
  area: number;
  /** Net current from metal into solution [A]. */
  current: number;
  meanCurrentDensity: number;
  /** Potential of the metal [V]; NaN for an insulator. */
  potential: number;
}

export interface FieldResult {
  status: FieldStatus;
  /** Why and where, when the status is not `converged`. */
  remark?: string;
  /** Current through the cell [A] and metal-to-metal voltage [V]. */
  current: number;
  cellVoltage: number;
  patches: PatchResult[];
  nodes: NodeValues;
  /** |sum of all currents| over what passes: the cell current, or half of all |currents| where that is more. */
  imbalance: number;
  /**
   * The constant [V] that made the currents sum to nothing. In a vessel it would be zero on an exact surface, so it shows
   * the error of the discretisation; without a vessel it is minus the potential at infinity.
   */
  constant: number;
  /** Newton steps and operator applications used. */
  newtonSteps: number;
  operatorApplications: number;
}
