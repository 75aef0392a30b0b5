import { UNWATCHED, type Watch } from '../numerics/index.js';
import { done, type Outcome, refused } from '../units/index.js';
import { overpotentialAt } from './laws.js';
import { type FieldGeometry, Layers } from './layers.js';
import { firstGuess, solveNewton } from './newton.js';
import { type OperatorMaker, plainOperator } from './operator.js';
import { buildClusters, type Clusters } from './precondition.js';
import type { FieldProblem, FieldResult, NodeValues, PatchResult } from './problem.js';
import { type Kinetics, type State, System } from './system.js';

export interface SolverOptions {
  makeOperator?: OperatorMaker;
  watch?: Watch;
}

export interface SolveOptions {
  /** Relative residual of the integral equation; default 1e-6. */
  tolerance?: number;
  maxSteps?: number;
  /** Start from the previous result where the nodes are the same; default true. */
  warm?: boolean;
  watch?: Watch;
}

/**
 * One geometry, solved as often as wanted. Nodes, near integrals, the operator and the blocks of the preconditioner stay;
 * another law, conductivity or drive costs Newton steps only, and `moved` rebuilds only what touches a changed body.
 */
export class FieldSolver {
  private clusters: Clusters | null = null;
  private readonly columns = new Map<string, Float64Array>();
  private last: State | null = null;

  private constructor(
    readonly geometry: FieldGeometry,
    readonly layers: Layers,
    private readonly makeOperator: OperatorMaker,
  ) {}

  /** Problems come back when the surface is not one: open, one-sided, in separate pieces. */
  static prepare(geometry: FieldGeometry, options: SolverOptions = {}): Outcome<FieldSolver> {
    const makeOperator = options.makeOperator ?? plainOperator;
    const { layers, problems } = Layers.build(geometry, makeOperator, options.watch ?? UNWATCHED);
    if (!layers) return refused(...problems);
    return done(new FieldSolver(geometry, layers, makeOperator), angleRemarks(layers));
  }

  /**
   * The solver for a surface in which only the bodies listed differ from this one's. Must not be mixed with further
   * use of this solver (its operator is taken over).
   */
  moved(geometry: FieldGeometry, changed: readonly number[], watch: Watch = UNWATCHED): Outcome<FieldSolver> {
    const { layers, problems } = Layers.build(geometry, this.makeOperator, watch, {
      from: this.layers,
      changed,
    });
    if (!layers) return refused(...problems);
    const next = new FieldSolver(geometry, layers, this.makeOperator);
    if (layers.d.nodes.count === this.layers.d.nodes.count) next.last = this.last;
    return done(next, angleRemarks(layers));
  }

  solve(kinetics: Kinetics, options: SolveOptions = {}): FieldResult {
    const applications = this.layers.applications;
    const system = new System(this.layers, kinetics);
    this.clusters ??= buildClusters(this.layers, clusterSize(this.layers.d.nodes.count), SEAM);
    const borderColumns = system.free.map((k) => this.conductorColumn(system, k));
    const beyond = system.beyondLimits();
    const run = (start: State) =>
      solveNewton(system, this.clusters!, borderColumns, start, {
        tolerance: options.tolerance ?? 1e-6,
        maxSteps: beyond ? 0 : (options.maxSteps ?? 60),
        watch: options.watch ?? UNWATCHED,
      });
    const guess = firstGuess(system);
    const start = options.warm === false ? guess : this.closerStart(system, guess);
    let outcome = run(start);
    // A start that led nowhere may have been the wrong one: an earlier result under very different laws.
    if (outcome.status === 'stalled' && start !== guess) outcome = run(guess);
    if (beyond) {
      outcome.status = 'out-of-range';
      outcome.remark = `The limiting current of the ${beyond.kind} surfaces is ${beyond.most.toPrecision(3)} A in all; more cannot pass.`;
    }
    if (outcome.status === 'converged') this.last = outcome.state;
    return {
      ...describe(system, outcome.state),
      status: outcome.status,
      ...(outcome.remark === undefined ? {} : { remark: outcome.remark }),
      newtonSteps: outcome.newtonSteps,
      operatorApplications: this.layers.applications - applications,
    };
  }

  /** Gives back threads and large buffers; the solver must not be used afterwards. */
  release(): void {
    this.layers.release();
  }

  /** (c + H) applied to the indicator of a conductor. */
  private conductorColumn(system: System, k: number): Float64Array {
    const patches = system.kinetics.patches
      .map((_, patch) => patch)
      .filter((patch) =>
        system.owner.some(
          (o, i) => o === k && patch === system.layers.d.panels.patch[system.layers.d.nodes.panel[i]],
        ),
      );
    const key = patches.join(',');
    const known = this.columns.get(key);
    if (known) return known;
    const column = new Float64Array(system.nodeCount);
    this.layers.apply(
      null,
      Float64Array.from(system.owner, (o) => (o === k ? 1 : 0)),
      column,
    );
    this.columns.set(key, column);
    return column;
  }

  /** The first guess, or the last state seen through the new laws if that leaves the smaller residual. */
  private closerStart(system: System, guess: State): State {
    const { last } = this;
    if (!last || last.phi.length !== system.nodeCount || last.potentials.length !== guess.potentials.length)
      return guess;
    const known = reused(system, last, guess);
    const f = new Float64Array(system.size);
    const size = (state: State): number => {
      system.residual(state, f);
      return f.reduce((sum, v) => sum + v * v, 0);
    };
    return size(known) < size(guess) ? known : guess;
  }
}

/** The currents of an earlier state on the laws of now; where a law cannot carry them, the guess. */
function reused(system: System, last: State, guess: State): State {
  const state: State = {
    phi: last.phi.slice(),
    eta: guess.eta.slice(),
    i: last.i.slice(),
    constant: last.constant,
    potentials: guess.potentials.map((v, k) => (system.conductors[k].free ? last.potentials[k] : v)),
  };
  for (let n = 0; n < system.nodeCount; n++) {
    const curve = system.owner[n] < 0 ? null : system.lawAt(n)!.curve;
    if (!curve) continue;
    const eta = overpotentialAt(curve, last.i[n], guess.eta[n]);
    if (Number.isFinite(eta)) state.eta[n] = eta;
    state.i[n] = curve.at(state.eta[n])[0];
  }
  system.refreshPhi(state);
  return state;
}

/** Measured on the ring of docs/theory/field.md; larger clusters or wider seams save no step. Small ones save memory. */
const clusterSize = (nodes: number): number => (nodes > 20_000 ? 20 : 40);
const SEAM = 0.4;

function angleRemarks(layers: Layers) {
  if (layers.doubtfulArea < 0.01) return [];
  return [
    {
      code: 'surface-doubtful',
      path: 'surface',
      message: `On ${(100 * layers.doubtfulArea).toFixed(1)} % of the surface the solid angle is not that of a closed body.`,
      hint: 'The surface may cross itself, or shells may overlap; check the mesh.',
    },
  ];
}

function describe(
  system: System,
  state: State,
): Omit<FieldResult, 'status' | 'newtonSteps' | 'operatorApplications'> {
  const { nodes, panels } = system.layers.d;
  const { patches } = system.kinetics;
  const values: NodeValues = {
    count: nodes.count,
    position: nodes.position,
    normal: nodes.normal,
    weight: nodes.weight,
    panel: Int32Array.from(nodes.panel, (p) => panels.origin[p]),
    potential: state.phi,
    currentDensity: state.i,
  };
  const list: PatchResult[] = patches.map(() => ({
    area: 0,
    current: 0,
    meanCurrentDensity: 0,
    potential: Number.NaN,
  }));
  for (let i = 0; i < nodes.count; i++) {
    const patch = list[panels.patch[nodes.panel[i]]];
    patch.area += nodes.weight[i];
    patch.current += nodes.weight[i] * state.i[i];
    if (system.owner[i] >= 0) patch.potential = state.potentials[system.owner[i]];
  }
  for (const patch of list) patch.meanCurrentDensity = patch.area > 0 ? patch.current / patch.area : 0;
  const of = (role: string, f: (p: PatchResult) => number) =>
    list.reduce((sum, p, k) => (patches[k].role === role ? sum + f(p) : sum), 0);
  const into = of('anode', (p) => p.current);
  const out = -of('cathode', (p) => p.current);
  const metal = (role: string) => {
    const k = system.conductors.findIndex((c) => c.kind === role);
    return k < 0 ? 0 : state.potentials[k];
  };
  const both = patches.some((p) => p.role === 'anode') && patches.some((p) => p.role === 'cathode');
  const current = both ? 0.5 * (into + out) : into + out;
  const passing = 0.5 * nodes.weight.reduce((sum, w, i) => sum + w * Math.abs(state.i[i]), 0);
  const total = list.reduce((sum, p) => sum + p.current, 0);
  return {
    current,
    cellVoltage: metal('anode') - metal('cathode'),
    patches: list,
    nodes: values,
    constant: state.constant,
    imbalance: system.hasConstant ? Math.abs(total) / Math.max(Math.abs(current), passing, 1e-300) : 0,
  };
}

/** One problem from start to end, for those who solve it once. */
export function solveField(
  problem: FieldProblem,
  options: SolverOptions & SolveOptions = {},
): Outcome<FieldResult> {
  const prepared = FieldSolver.prepare(problem, options);
  if (!prepared.ok) return prepared;
  return done(prepared.value.solve(problem, options), prepared.warnings);
}
