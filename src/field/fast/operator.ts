import type { OperatorMaker, OperatorOptions, PointCloud, PotentialOperator } from '../operator.js';
import { type Crew, soloCrew } from './crew.js';
import { fastNear } from './near.js';
import { makePlan, type Plan, type PlanSettings, type Sources } from './plan.js';

/** Order of the expansions by wanted error; measured, see docs/theory/fast-operator.md. */
const ORDERS: readonly (readonly [tolerance: number, order: number])[] = [
  [1e-3, 3],
  [1e-4, 5],
  [1e-5, 7],
  [1e-6, 10],
  [0, 12],
];
/** Sources times targets up to which one box, and so direct summation, is the quickest. */
const DIRECT_PAIRS = 4_000_000;

export interface FastSettings {
  /** For makers that are not asked for one; default 1e-5, a hundredth of what panels and kinetics leave uncertain. */
  tolerance?: number;
  /** Overrides what the tolerance chooses. */
  order?: number;
  capacity?: number;
  /** Sources times targets up to which all is summed directly; default 4e6. */
  direct?: number;
}

let solo: Crew | undefined;

/**
 * A maker of operators that cost O(N): fast multipoles in single precision over a crew (by default the caller alone).
 * The root mean square error is below the tolerance times that of the sums of magnitudes, |charge| / r + |dipole| / r^2;
 * single precision sets a floor near 1e-7.
 * Points that coincide do not act on each other. Operators of one crew must be used by one thread.
 */
export function fastOperator(crew?: Crew, settings: FastSettings = {}): OperatorMaker {
  const crewOf = (): Crew => {
    if (crew) return crew;
    solo ??= soloCrew();
    return solo;
  };
  const make = (cloud: PointCloud, options?: OperatorOptions): PotentialOperator => {
    const tolerance = options?.tolerance ?? settings.tolerance ?? 1e-5;
    const order = settings.order ?? ORDERS.find(([t]) => tolerance >= t)![1];
    const { capacity = capacityFor(order), direct = DIRECT_PAIRS } = settings;
    return operatorFor(crewOf(), cloud, { order, capacity, direct });
  };
  return Object.assign(make, { near: fastNear(crewOf) });
}

/** Where direct sums and expansions of surface-like clouds balance; measured. */
const capacityFor = (order: number): number => 24 + 5 * order;

type Settings = Omit<PlanSettings, 'gradient'> & { direct: number };

/** A plan that can be given back once, apart from the operator that uses it. */
class Held {
  #plan: Plan | undefined;
  constructor(
    readonly crew: Crew,
    plan: Plan,
  ) {
    this.#plan = plan;
  }
  get plan(): Plan {
    if (!this.#plan) throw new Error('The operator has been released.');
    return this.#plan;
  }
  giveBack(): void {
    if (this.#plan) this.crew.arena.give(this.#plan.address, this.#plan.bytes);
    this.#plan = undefined;
  }
}

/** Gives back the memory of operators that were dropped without a release. */
const dropped = new FinalizationRegistry<Held>((held) => held.giveBack());

function operatorFor(crew: Crew, cloud: PointCloud, settings: Settings): PotentialOperator {
  const sources = sourcesOf(cloud);
  const held = new Held(crew, planFor(crew, sources, cloud.position, settings, false));
  const operator: PotentialOperator = {
    cloud,
    apply(charge, dipole, out) {
      perform(crew, held.plan, charge, dipole, cloud.count, out);
    },
    evaluate(points, charge, dipole, potential, gradient) {
      const other = new Held(crew, planFor(crew, sources, points, settings, gradient !== undefined));
      perform(crew, other.plan, charge, dipole, cloud.count, potential, gradient);
      other.giveBack();
    },
    rebuilt(changed) {
      operator.release!();
      return operatorFor(crew, changed, settings);
    },
    release() {
      dropped.unregister(held);
      held.giveBack();
    },
  };
  dropped.register(operator, held, held);
  return operator;
}

function planFor(
  crew: Crew,
  sources: Sources,
  targets: Float64Array,
  settings: Settings,
  gradient: boolean,
): Plan {
  const few = (sources.position.length / 3) * (targets.length / 3) <= settings.direct;
  const capacity = few ? Number.POSITIVE_INFINITY : settings.capacity;
  return makePlan(crew, sources, targets, { ...settings, capacity, gradient });
}

/** The points, and their images behind the mirror. */
function sourcesOf(cloud: PointCloud): Sources {
  const { count, mirrorHeight } = cloud;
  if (mirrorHeight === undefined)
    return {
      position: cloud.position,
      normal: cloud.normal,
      point: Int32Array.from({ length: count }, (_, i) => i),
      points: count,
    };
  const position = new Float64Array(6 * count);
  const normal = new Float64Array(6 * count);
  position.set(cloud.position);
  normal.set(cloud.normal);
  position.set(cloud.position, 3 * count);
  normal.set(cloud.normal, 3 * count);
  for (let i = 3 * count + 2; i < 6 * count; i += 3) {
    position[i] = 2 * mirrorHeight - position[i];
    normal[i] = -normal[i];
  }
  return {
    position,
    normal,
    point: Int32Array.from({ length: 2 * count }, (_, i) => i % count),
    points: count,
  };
}

/** One application: up the tree, across, down again. */
function perform(
  crew: Crew,
  plan: Plan,
  charge: Float64Array,
  dipole: Float64Array | null,
  points: number,
  potential: Float64Array,
  gradient?: Float64Array,
): void {
  const { buffer } = crew.arena.memory;
  // Brings the numbers into the middle of the range of single precision.
  const largest = Math.max(magnitude(charge), dipole ? magnitude(dipole) : 0);
  if (largest === 0) {
    potential.fill(0, 0, plan.targets);
    gradient?.fill(0, 0, 3 * plan.targets);
    return;
  }
  new Float64Array(buffer, plan.charge, points).set(charge);
  const d = new Float64Array(buffer, plan.dipole, points);
  if (dipole) d.set(dipole);
  else d.fill(0);
  new Float64Array(buffer, plan.scale, 1)[0] = 1 / largest;
  new Uint8Array(buffer, plan.local, plan.localBytes).fill(0);

  const at = plan.address;
  crew.run('gather', at, 0, plan.sourceCount, 4096);
  crew.run('spread', at, 0, plan.spread, 16);
  for (let l = 0; l + 1 < plan.lift.length; l++) crew.run('lift', at, plan.lift[l], plan.lift[l + 1], 32);
  crew.run('transfer', at, 0, plan.transferTasks, 1);
  crew.run('into', at, 0, plan.into, 4);
  for (let l = 0; l + 1 < plan.lower.length; l++) crew.run('lower', at, plan.lower[l], plan.lower[l + 1], 64);
  crew.run(plan.gradient ? 'finishGradient' : 'finish', at, 0, plan.leaves, 4);

  const n = plan.targetOrder.length;
  const sum = new Float64Array(buffer, plan.sum, n * (plan.gradient ? 4 : 1));
  const factor = largest / (4 * Math.PI);
  for (let i = 0; i < n; i++) {
    const t = plan.targetOrder[i];
    if (t < 0) continue;
    potential[t] = factor * sum[i];
    if (gradient) for (let c = 0; c < 3; c++) gradient[3 * t + c] = factor * sum[(c + 1) * n + i];
  }
}

/** Largest magnitude; NaN where there is one, so that it shows in the sums. */
function magnitude(values: Float64Array): number {
  let largest = 0;
  for (let i = 0; i < values.length; i++) {
    const v = Math.abs(values[i]);
    if (v > largest || Number.isNaN(v)) largest = v;
  }
  return largest;
}
