import { overpotentialAt, type SolverLaw, solverLaw } from './laws.js';
import type { Layers } from './layers.js';
import type { Drive, PatchSpec } from './problem.js';

/** What may change while the geometry stays. */
export interface Kinetics {
  conductivity: number;
  patches: PatchSpec[];
  drive: Drive;
}

/**
 * A conductor: all cathodes are one (they share a lead), all anodes one, each floating patch its own. Its potential is
 * known or an unknown of the solve.
 */
export interface Conductor {
  kind: 'cathode' | 'anode' | 'floating';
  /** Metal potential [V], current value. */
  potential: number;
  free: boolean;
  /** Required net current from metal into solution [A]; only for a free potential. */
  current: number;
}

/**
 * State of the unknowns. At each electrode node a point (eta, i) on its law; at each insulator node the potential; and
 * the border: the constant c that makes the currents sum to nothing (absent when the far field takes what is left over)
 * and the free metal potentials.
 */
export interface State {
  /** Solution potential at the nodes [V]. */
  phi: Float64Array;
  /** Overpotential at electrode nodes [V]. */
  eta: Float64Array;
  /** Current density from metal into solution [A/m2]. */
  i: Float64Array;
  constant: number;
  potentials: Float64Array;
}

/** The nonlinear system F(state) = 0 with its tangent, over the layers of one geometry. */
export class System {
  readonly conductors: Conductor[] = [];
  /** Conductor of each node, -1 on an insulator. */
  readonly owner: Int32Array;
  readonly laws: (SolverLaw | null)[];
  readonly nodeCount: number;
  /** Border unknowns: first the constant (if any), then the free conductors in order. */
  readonly hasConstant: boolean;
  readonly free: number[] = [];
  /** Every law is a straight line, so that the system is linear. */
  readonly straight: boolean;
  /** Nodes plus border. */
  readonly size: number;
  /** Length for comparing charge transfer with ohmic resistance [m]. */
  readonly scale: number;
  /** Potential and flux of one unit of each unknown: phi = V - alpha s, q = beta s; on an insulator phi = s. */
  readonly alpha: Float64Array;
  readonly beta: Float64Array;
  private readonly q: Float64Array;
  private readonly phi: Float64Array;

  constructor(
    readonly layers: Layers,
    readonly kinetics: Kinetics,
  ) {
    const { nodes, panels } = layers.d;
    this.nodeCount = nodes.count;
    this.laws = kinetics.patches.map((patch) => (patch.role === 'insulator' ? null : solverLaw(patch)));
    this.straight = kinetics.patches.every(
      ({ role, law }) =>
        role === 'insulator' ||
        law?.kind === 'fixed' ||
        (law?.kind === 'linear' && law.limitingCurrentDensity === undefined),
    );
    const ofPatch = this.findConductors(layers.unbounded);
    this.owner = Int32Array.from(nodes.panel, (p) => ofPatch[panels.patch[p]]);
    this.hasConstant = !(layers.unbounded && this.conductors.filter((c) => c.kind !== 'floating').length < 2);
    this.conductors.forEach((c, k) => {
      if (c.free) this.free.push(k);
    });
    this.size = this.nodeCount + (this.hasConstant ? 1 : 0) + this.free.length;
    let area = 0;
    for (let i = 0; i < this.nodeCount; i++) if (this.owner[i] >= 0) area += nodes.weight[i];
    this.scale = Math.sqrt(area);
    this.alpha = new Float64Array(this.nodeCount);
    this.beta = new Float64Array(this.nodeCount);
    this.q = new Float64Array(this.nodeCount);
    this.phi = new Float64Array(this.nodeCount);
  }

  private findConductors(unbounded: boolean): number[] {
    const { patches, drive } = this.kinetics;
    const has = (role: string) => patches.some((p) => p.role === role);
    const alone = unbounded && !(has('cathode') && has('anode'));
    const number = new Map<string, number>();
    const add = (key: string, conductor: Conductor): number => {
      const known = number.get(key);
      if (known !== undefined) return known;
      number.set(key, this.conductors.length);
      return this.conductors.push(conductor) - 1;
    };
    return patches.map((patch, k) => {
      if (patch.role === 'insulator') return -1;
      if (patch.role === 'floating')
        return add(`floating ${k}`, { kind: 'floating', potential: 0, free: true, current: 0 });
      const sense = patch.role === 'anode' ? 1 : -1;
      // The cathode is at zero potential when there is an anode; alone, it is driven against the far field at zero.
      const driven = patch.role === 'anode' || alone;
      const byCurrent = 'current' in drive;
      return add(patch.role, {
        kind: patch.role,
        potential: driven && !byCurrent ? sense * drive.voltage : 0,
        free: driven && byCurrent,
        current: byCurrent ? sense * drive.current : Number.NaN,
      });
    });
  }

  /** Law of a node, `null` on an insulator. */
  lawAt(i: number): SolverLaw | null {
    const { panels, nodes } = this.layers.d;
    return this.laws[panels.patch[nodes.panel[i]]];
  }

  /** Solution potential from the point on the law and the metal's potential, at electrode nodes. */
  refreshPhi(state: State): void {
    for (let i = 0; i < this.nodeCount; i++) {
      const owner = this.owner[i];
      if (owner >= 0) state.phi[i] = state.potentials[owner] - this.lawAt(i)!.equilibrium - state.eta[i];
    }
  }

  /** F in volts: the integral equation at the nodes, then the border rows. */
  residual(state: State, out: Float64Array): void {
    const { q, nodeCount, kinetics } = this;
    for (let i = 0; i < nodeCount; i++) q[i] = state.i[i] / kinetics.conductivity;
    this.layers.apply(q, state.phi, out);
    for (let i = 0; i < nodeCount; i++) out[i] += state.constant;
    this.borderRows(q, out, true);
  }

  /** Tangent at the state whose alpha and beta were last set. */
  tangent(x: Float64Array, out: Float64Array): void {
    const { q, phi, nodeCount, alpha, beta, owner } = this;
    const border = this.borderOf(x);
    for (let i = 0; i < nodeCount; i++) {
      const k = owner[i];
      q[i] = k < 0 ? 0 : beta[i] * x[i];
      phi[i] = k < 0 ? x[i] : border.potentials[k] - alpha[i] * x[i];
    }
    this.layers.apply(q, phi, out);
    if (this.hasConstant) for (let i = 0; i < nodeCount; i++) out[i] += border.constant;
    this.borderRows(q, out, false);
  }

  /** Constant and conductor potentials out of a vector of unknowns (zero where not free). */
  borderOf(x: Float64Array): { constant: number; potentials: Float64Array } {
    const potentials = new Float64Array(this.conductors.length);
    let at = this.nodeCount;
    const constant = this.hasConstant ? x[at++] : 0;
    for (const k of this.free) potentials[k] = x[at++];
    return { constant, potentials };
  }

  /** Net flux rows, scaled to volts: sum of weight q over everything, and over each free conductor. */
  private borderRows(q: Float64Array, out: Float64Array, withTargets: boolean): void {
    const { weight } = this.layers.d.nodes;
    const sums = new Float64Array(this.conductors.length);
    let total = 0;
    for (let i = 0; i < this.nodeCount; i++) {
      const flow = weight[i] * q[i];
      total += flow;
      if (this.owner[i] >= 0) sums[this.owner[i]] += flow;
    }
    let at = this.nodeCount;
    if (this.hasConstant) out[at++] = total / this.scale;
    for (const k of this.free) {
      const target = withTargets ? this.conductors[k].current / this.kinetics.conductivity : 0;
      out[at++] = (sums[k] - target) / this.scale;
    }
  }

  /** Largest misfit of a flux row of the residual f, against half the sum of all |currents| (a floating body has both). */
  fluxError(f: Float64Array, state: State): number {
    const { weight } = this.layers.d.nodes;
    let passing = 0;
    for (let i = 0; i < this.nodeCount; i++)
      if (this.owner[i] >= 0) passing += 0.5 * weight[i] * Math.abs(state.i[i]);
    let worst = 0;
    for (let k = this.nodeCount; k < this.size; k++)
      worst = Math.max(worst, Math.abs(f[k]) * this.scale * this.kinetics.conductivity);
    return passing > 0 ? worst / passing : 0;
  }

  /**
   * Whether the laws can carry the wanted current at all: the role whose limiting currents add up to
   * less, and what they add up to [A]; `null` when nothing stands in the way.
   */
  beyondLimits(): { kind: string; most: number } | null {
    const { drive } = this.kinetics;
    if (!('current' in drive)) return null;
    const { nodes, panels } = this.layers.d;
    const area = new Float64Array(this.laws.length);
    for (let i = 0; i < nodes.count; i++) area[panels.patch[nodes.panel[i]]] += nodes.weight[i];
    for (const kind of ['cathode', 'anode'] as const) {
      let most = 0;
      let present = false;
      this.kinetics.patches.forEach(({ role }, patch) => {
        if (role !== kind || area[patch] === 0) return;
        present = true;
        most += area[patch] * this.laws[patch]!.ceiling;
      });
      if (present && most <= Math.abs(drive.current)) return { kind, most };
    }
    return null;
  }

  /** Sets alpha and beta from the slope of each law at the state, scaled so that diagonal entries are near one. */
  linearise(state: State): void {
    const { weight } = this.layers.d.nodes;
    const { conductivity } = this.kinetics;
    for (let i = 0; i < this.nodeCount; i++) {
      if (this.owner[i] < 0) continue;
      const curve = this.lawAt(i)!.curve;
      // Self term of the single layer: half the radius of a disc of the node's area.
      const own = 0.28 * Math.sqrt(weight[i]);
      const slope = curve ? curve.at(state.eta[i])[1] / conductivity : 0;
      const size = curve ? 1 / (0.5 + own * slope) : 1 / own;
      this.alpha[i] = curve ? size : 0;
      this.beta[i] = curve ? slope * size : size;
    }
  }

  /**
   * state + factor * step, each electrode node kept on its law: where charge transfer is the lesser resistance the
   * current density follows the tangent and eta the law, elsewhere the other way round.
   */
  advance(state: State, step: Float64Array, factor: number): State {
    const { conductivity } = this.kinetics;
    const border = this.borderOf(step);
    const next: State = {
      phi: state.phi.slice(),
      eta: state.eta.slice(),
      i: state.i.slice(),
      constant: state.constant + factor * border.constant,
      potentials: state.potentials.map((v, k) => v + factor * border.potentials[k]),
    };
    for (let n = 0; n < this.nodeCount; n++) {
      if (this.owner[n] < 0) {
        next.phi[n] += factor * step[n];
        continue;
      }
      const curve = this.lawAt(n)!.curve;
      const di = factor * this.beta[n] * conductivity * step[n];
      if (!curve) {
        next.i[n] += di;
        continue;
      }
      const slope = curve.at(state.eta[n])[1];
      if ((slope * this.scale) / conductivity > 1) {
        const eta = followCurrent(curve, state.eta[n], state.i[n], di);
        next.eta[n] = eta;
      } else next.eta[n] += factor * this.alpha[n] * step[n];
      next.i[n] = curve.at(next.eta[n])[0];
    }
    this.refreshPhi(next);
    return next;
  }
}

/** Overpotential after a change of current density; a change the law cannot make is cut down until it can. */
function followCurrent(curve: NonNullable<SolverLaw['curve']>, eta: number, i: number, di: number): number {
  for (let cut = 1; cut > 1e-3; cut *= 0.3) {
    const found = overpotentialAt(curve, i + cut * di, eta);
    if (Number.isFinite(found) && Math.abs(found - eta) < 1e3) return found;
  }
  return eta;
}
