import { waterViscosity } from '../aqueous/index.js';
import {
  bathTransfer,
  dutyOf,
  levelsOf,
  limitingCurrent,
  pulseLimit,
  type Segment,
} from '../electrode/index.js';
import type { Drive, FieldResult, SolveOptions } from '../field/index.js';
import type { Values } from './band.js';
import { type Chemistry, type Laws, OWN } from './chemistry.js';
import { integral, type Local, localValues, quantileOf, type Spread, spreadOf } from './local.js';
import type { Job } from './schema.js';
import { type SetUp, solveSetUp } from './set-up.js';

/** One step with its drive decided. A voltage is held; currents follow their segment. */
export interface PlannedStep {
  name: string;
  drive: Drive;
  /** Current or voltage it changes to evenly, if it does. */
  rampTo?: Drive;
  pulse?: { on: number; off: number };
  /** [s]; undefined for the one step that lasts until the aim is reached. */
  time?: number;
}

/** A steady level within a step, solved. */
export interface SolvedLevel {
  /** Share of the time of the step. */
  share: number;
  result: FieldResult;
  local: Local;
  laws: Laws;
}

export interface SolvedStep {
  plan: PlannedStep;
  levels: SolvedLevel[];
  /** Growth by node, averaged over the step [m/s]. */
  growth: Float64Array;
  /** Mean current [A] and the voltage [V] at its highest level. */
  current: number;
  cellVoltage: number;
}

/** What decides how a solve is made: values of the uncertain inputs, and the set-up it is made on. */
export interface Case {
  job: Job;
  chemistry: Chemistry;
  setUp: SetUp;
  values: Values;
  /** How exactly the field is solved; what-ifs take less. */
  solve?: SolveOptions;
}

/** The current the supply truly gives, and the density it makes on the true area, in terms of the model's area. */
const ofModel = (values: Values, current: number): number =>
  (current * values.get(OWN.supply)!) / values.get(OWN.area)!;

/** Laws under a pulse train: the peak may exceed the steady limit as far as the thin breathing layer allows. */
function pulsedLaws(c: Case, pulse: { on: number; off: number }): Laws {
  const { chemistry, values, setUp } = c;
  const around = { height: Math.max(setUp.height, 1e-3), waterViscosity };
  const { metal, diffusivity } = bathTransfer(chemistry.state, values, around);
  const steady = limitingCurrent(chemistry.state.electrons, metal.coefficient, chemistry.state.metal);
  const gain = pulseLimit(steady, metal.coefficient, diffusivity, pulse) / steady;
  const moved = new Map(values);
  const layer = values.get('agitation.layer');
  if (layer !== undefined) moved.set('agitation.layer', layer / gain);
  else moved.set('agitation.band', values.get('agitation.band')! * gain);
  return chemistry.laws(moved, setUp.height);
}

/** Solves one step on a set-up: every level of its ramp or pulse. */
export function solveStep(c: Case, plan: PlannedStep): SolvedStep {
  const laws = plan.pulse ? pulsedLaws(c, plan.pulse) : c.chemistry.laws(c.values, c.setUp.height);
  const levels = drivesOf(plan).map(({ drive, share }): SolvedLevel => {
    const asked = 'current' in drive ? { current: ofModel(c.values, drive.current) } : drive;
    const result = solveSetUp(c.setUp, laws, asked, c.solve);
    return { share, result, laws, local: localValues(c.setUp, laws, c.chemistry, result) };
  });
  const growth = new Float64Array(levels[0]!.local.growth.length);
  for (const { share, local } of levels)
    for (let i = 0; i < growth.length; i++) growth[i]! += share * local.growth[i]!;
  const total = (level: SolvedLevel): number => level.result.current * c.values.get(OWN.area)!;
  return {
    plan,
    levels,
    growth,
    current: levels.reduce((sum, level) => sum + level.share * total(level), 0),
    cellVoltage: Math.max(...levels.map((level) => level.result.cellVoltage)),
  };
}

/** Constant drives that stand for a step, with the share of its time each holds. */
function drivesOf(plan: PlannedStep): { drive: Drive; share: number }[] {
  const { drive, rampTo, pulse } = plan;
  if (!('current' in drive)) {
    const to = rampTo && 'voltage' in rampTo ? rampTo.voltage : drive.voltage;
    if (to === drive.voltage) return [{ drive, share: 1 }];
    return segments({ kind: 'ramp', from: drive.voltage, to, duration: 1 }).map((l) => ({
      drive: { voltage: l.current },
      share: l.duration,
    }));
  }
  const to = rampTo && 'current' in rampTo ? rampTo.current : drive.current;
  const segment: Segment = pulse
    ? { kind: 'pulse', peak: drive.current / dutyOf(pulse), base: 0, ...pulse, duration: 1 }
    : to === drive.current
      ? { kind: 'hold', current: drive.current, duration: 1 }
      : { kind: 'ramp', from: drive.current, to, duration: 1 };
  return segments(segment).map((l) => ({ drive: { current: l.current }, share: l.duration }));
}

const segments = (segment: Segment) => levelsOf(segment).filter((level) => level.current !== 0);

/** Total thickness by node after steps of the times given [s]. */
export function thicknessOf(steps: readonly SolvedStep[], times: readonly number[]): Float64Array {
  const total = new Float64Array(steps[0]!.growth.length);
  steps.forEach((step, k) => {
    for (let i = 0; i < total.length; i++) total[i]! += times[k]! * step.growth[i]!;
  });
  return total.map((t) => Math.max(0, t));
}

/** Thickness that the aim's share of the significant surface reaches [m]. */
export const reached = (job: Job, spread: Spread): number => quantileOf(spread, 1 - job.aim.share);

/**
 * Times of all steps [s] such that the aim is reached; the open step takes what is missing. Infinity when it never is.
 */
export function timesFor(c: Case, steps: readonly SolvedStep[]): number[] {
  const { job, setUp } = c;
  const fixed = steps.map((s) => s.plan.time ?? 0);
  const open = steps.findIndex((s) => s.plan.time === undefined);
  if (open < 0) return fixed;
  const at = (time: number): number => {
    const times = fixed.with(open, time);
    return reached(job, spreadOf(setUp, thicknessOf(steps, times), setUp.significant)) - job.aim.thickness;
  };
  const start = steps.length > 1 ? at(0) : -job.aim.thickness;
  if (start >= 0) return fixed;
  const rate = (at(3600) - start) / 3600;
  if (!(rate > 0) || !(-start / rate < LONGEST)) return fixed.with(open, Number.POSITIVE_INFINITY);
  let time = -start / rate;
  // Thickness is linear in time node by node. After other steps its quantile is only nearly so: a few secant steps.
  for (let step = 0; steps.length > 1 && step < 6; step++) {
    const miss = at(time);
    if (Math.abs(miss) < 1e-5 * job.aim.thickness) break;
    time -= miss / rate;
  }
  return fixed.with(open, time);
}

/** Longer than this no one plates [s]; a month. */
const LONGEST = 30 * 86400;

/** Mean over an area of what deposits, against all current there. */
export function efficiencyOf(level: SolvedLevel, chosen: Uint8Array): number {
  const metal = integral(level.result, level.local.metal, chosen);
  const hydrogen = integral(level.result, level.local.hydrogen, chosen);
  return metal / (metal + hydrogen);
}
