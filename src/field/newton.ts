import { gmres, type Watch } from '../numerics/index.js';
import { overpotentialAt } from './laws.js';
import { type Clusters, Preconditioner } from './precondition.js';
import type { FieldStatus } from './problem.js';
import type { State, System } from './system.js';

export interface NewtonOptions {
  /** Root-mean-square residual wanted, relative to the range of potentials. */
  tolerance: number;
  maxSteps: number;
  watch: Watch;
}

export interface NewtonOutcome {
  state: State;
  status: FieldStatus;
  remark?: string;
  newtonSteps: number;
  /** Inner iterations of all steps together. */
  innerSteps: number;
  /** Last relative residual. */
  residual: number;
}

/** Currents must agree to this fraction of what passes. */
const FLUX_TOLERANCE = 2e-7;

/** Damped Newton: each step by preconditioned GMRES, halved until the residual falls. */
export function solveNewton(
  system: System,
  clusters: Clusters,
  borderColumns: readonly Float64Array[],
  start: State,
  options: NewtonOptions,
): NewtonOutcome {
  let state = start;
  const f = new Float64Array(system.size);
  system.residual(state, f);
  let norm = rms(f);
  let innerSteps = 0;
  const outcome = (status: FieldStatus, newtonSteps: number, remark?: string): NewtonOutcome => ({
    state,
    status,
    newtonSteps,
    innerSteps,
    residual: norm / potentialRange(system, state),
    ...(remark === undefined ? {} : { remark }),
  });
  const step = new Float64Array(system.size);
  let before = Number.POSITIVE_INFINITY;
  for (let k = 0; k < options.maxSteps; k++) {
    const scale = potentialRange(system, state);
    if (norm <= options.tolerance * scale && system.fluxError(f, state) <= FLUX_TOLERANCE)
      return outcome('converged', k);
    options.watch.report(Math.min(0.95, k / (k + 3)), 'solving');
    if (options.watch.cancelled()) return outcome('cancelled', k, 'Stopped by the user.');
    system.linearise(state);
    const preconditioner = new Preconditioner(system, clusters, borderColumns);
    // Where all laws are straight lines one step is the whole solve. Otherwise the inner accuracy follows the outer
    // progress (Eisenstat and Walker, SIAM J. Sci. Comput. 17 (1996) 16, choice 2), never looser than 1 %.
    const goal = Math.min(0.1, 0.3 * options.tolerance * (scale / norm));
    const forcing = system.straight ? goal : Math.max(goal, Math.min(1e-2, (norm / before) ** 2));
    const b = f.map((v) => -v);
    const inner = gmres(
      system.size,
      (x, out) => system.tangent(x, out),
      (r, out) => preconditioner.apply(r, out),
      b,
      step,
      { tolerance: Math.min(1e-2, forcing), maxSteps: 300, cancelled: () => options.watch.cancelled() },
    );
    innerSteps += inner.steps;
    if (inner.status === 'cancelled') return outcome('cancelled', k, 'Stopped by the user.');
    before = norm;
    let factor = 1;
    for (;;) {
      const trial = system.advance(state, step, factor);
      system.residual(trial, f);
      const next = rms(f);
      if (next <= (1 - 1e-4 * factor) * norm) {
        state = trial;
        norm = next;
        break;
      }
      factor *= 0.5;
      if (factor < 1e-4) {
        system.residual(state, f);
        const small =
          norm <= 100 * options.tolerance * scale && system.fluxError(f, state) <= 5 * FLUX_TOLERANCE;
        return outcome(
          small ? 'converged' : 'stalled',
          k,
          `The iteration came to a halt at a relative residual of ${(norm / scale).toExponential(1)}.`,
        );
      }
    }
  }
  const done =
    norm <= options.tolerance * potentialRange(system, state) &&
    system.fluxError(f, state) <= 5 * FLUX_TOLERANCE;
  return outcome(
    done ? 'converged' : 'stalled',
    options.maxSteps,
    done ? undefined : `Not converged after ${options.maxSteps} steps.`,
  );
}

/** What potentials are measured against: the range over liquid, metals and (if it is an electrode) the far field [V]. */
function potentialRange(system: System, state: State): number {
  let low = system.hasConstant ? Number.POSITIVE_INFINITY : 0;
  let high = system.hasConstant ? Number.NEGATIVE_INFINITY : 0;
  for (const list of [state.phi, state.potentials])
    for (const v of list) {
      if (v < low) low = v;
      if (v > high) high = v;
    }
  return Math.max(high - low, 1e-9);
}

function rms(f: Float64Array): number {
  let sum = 0;
  for (const v of f) sum += v * v;
  return Math.sqrt(sum / f.length);
}

/**
 * Where to start without a previous result: uniform current on each conductor, of the size one ohmic resistance
 * between compact bodies would allow.
 */
export function firstGuess(system: System): State {
  const { nodes, panels } = system.layers.d;
  const { conductivity, patches, drive } = system.kinetics;
  const area = new Float64Array(system.conductors.length);
  const lawOf: number[] = system.conductors.map(() => -1);
  for (let i = 0; i < nodes.count; i++) {
    const k = system.owner[i];
    if (k < 0) continue;
    area[k] += nodes.weight[i];
    lawOf[k] = panels.patch[nodes.panel[i]];
  }
  const least = system.conductors.reduce(
    (a, c, k) => (c.kind === 'floating' ? a : Math.min(a, area[k])),
    Infinity,
  );
  const ohmic = 0.25 / (conductivity * Math.sqrt(least));
  const etaFor = (patch: number, i: number): number => {
    const curve = system.laws[patch]?.curve;
    if (!curve) return 0;
    for (let cut = 1; cut > 1e-6; cut *= 0.5) {
      const eta = overpotentialAt(curve, cut * i, 0);
      if (Number.isFinite(eta)) return eta;
    }
    return 0;
  };
  const sense = (k: number) => ({ anode: 1, cathode: -1, floating: 0 })[system.conductors[k].kind];
  const voltageFor = (current: number): number =>
    system.conductors.reduce(
      (sum, _, k) =>
        sum +
        sense(k) *
          (etaFor(lawOf[k], (sense(k) * current) / area[k]) + (system.laws[lawOf[k]]?.equilibrium ?? 0)),
      current * ohmic,
    );
  let current: number;
  if ('current' in drive) current = drive.current;
  else {
    let low = 0;
    let high = Math.max(0, drive.voltage) / ohmic;
    for (let step = 0; step < 60; step++) {
      const middle = 0.5 * (low + high);
      if (voltageFor(middle) < drive.voltage) low = middle;
      else high = middle;
    }
    current = 0.5 * (low + high);
  }
  const potentials = Float64Array.from(system.conductors, (c) => c.potential);
  for (const k of system.free) potentials[k] = sense(k) === 0 ? 0 : sense(k) * voltageFor(current);
  const state: State = {
    phi: new Float64Array(nodes.count),
    eta: new Float64Array(nodes.count),
    i: new Float64Array(nodes.count),
    constant: 0,
    potentials,
  };
  const startEta = patches.map((_, patch) => {
    const k = system.conductors.length > 0 ? conductorOfPatch(system, patch) : -1;
    return k < 0 ? 0 : etaFor(patch, (sense(k) * current) / area[k]);
  });
  let middle = 0;
  let counted = 0;
  for (let i = 0; i < nodes.count; i++) {
    const k = system.owner[i];
    if (k < 0) continue;
    const law = system.lawAt(i)!;
    state.eta[i] = startEta[panels.patch[nodes.panel[i]]];
    state.i[i] = law.curve ? law.curve.at(state.eta[i])[0] : (sense(k) * current) / area[k];
    middle += potentials[k] - law.equilibrium - state.eta[i];
    counted++;
  }
  state.phi.fill(counted > 0 ? middle / counted : 0);
  for (const k of system.free) if (sense(k) === 0) potentials[k] = counted > 0 ? middle / counted : 0;
  system.refreshPhi(state);
  return state;
}

function conductorOfPatch(system: System, patch: number): number {
  const { panels, nodes } = system.layers.d;
  for (let i = 0; i < nodes.count; i++) if (panels.patch[nodes.panel[i]] === patch) return system.owner[i];
  return -1;
}
