import { gasAmount, gasVolume, pulseRemarks } from '../electrode/index.js';
import { chosen, type Library } from '../library/index.js';
import { UNWATCHED, type Watch } from '../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import { anodeForecasts } from './anodes.js';
import { bands } from './band.js';
import { checkJob } from './check.js';
import { chemistryOf, nominalValues, OWN } from './chemistry.js';
import type { JobContext } from './context.js';
import { errorOf } from './discretisation.js';
import { chooseCurrent, highest, limitsOf, meanDensity, workArea } from './limits.js';
import { areaBelow, areaOf, integral, meanOf, quantileOf, type Spread, spreadOf } from './local.js';
import { drawnBodies, partMap } from './map.js';
import { placeJob } from './place.js';
import {
  type Case,
  efficiencyOf,
  type PlannedStep,
  type SolvedStep,
  solveStep,
  thicknessOf,
  timesFor,
} from './plan.js';
import { addPoses } from './poses.js';
import type { DrawnBody, Forecast, ForecastStep, PartMap, Quantiles } from './result.js';
import type { Job } from './schema.js';
import { prepareSetUp, type SetUp } from './set-up.js';
import { storiesOf } from './story.js';
import { headlines, mainStep, swingsOf } from './swings.js';
import { recordsUsed } from './uses.js';
import { voltageParts } from './voltage.js';
import { warningsOf } from './warnings.js';

export interface ForecastOptions {
  /** Bands cost some fifty draft solves; comparisons and drags do without. Default true. */
  bands?: boolean;
  /** The draft set-up an earlier forecast of this job kept: only what moved is cut and summed again. Used up by this one. */
  previous?: SetUp;
}

export interface JobResult {
  forecast: Forecast;
  map: PartMap;
  bodies: DrawnBody[];
  /** The draft set-up, to hand over as `previous` with the next change. Holds the solver; not for sending elsewhere. */
  kept: SetUp;
}

/**
 * The main job: from a read job file to what will happen in the vessel.
 *
 * A draft set-up decides the current and carries the what-ifs behind the bands; the set-up of the quality asked for gives
 * the numbers; the difference between the two is the stated error of the panels.
 */
export async function runForecast(
  job: Job,
  context: JobContext,
  watch: Watch = UNWATCHED,
  options: ForecastOptions = {},
): Promise<Outcome<JobResult>> {
  const checked = checkJob(job, context.library);
  if (!checked.ok) return checked;
  const chemistry = chemistryOf(job, context.library);
  if (!chemistry.ok) return chemistry;
  const placed = placeJob(job, context.meshes);
  if (!placed.ok) return placed;

  watch.report(0.02, 'Cutting the set-up into panels');
  const { previous } = options;
  const draft = await prepareSetUp(job, chemistry.value, placed.value, 'draft', context, watch, previous);
  if (!draft.ok) return draft;
  const rough: Case = {
    job,
    chemistry: chemistry.value,
    setUp: draft.value,
    values: nominalValues(chemistry.value),
  };

  watch.report(0.1, 'Choosing the current');
  const plan = planSteps(rough, context);
  const roughSteps = await solveAll(rough, plan, context, watch);
  if (!roughSteps.ok) return roughSteps;
  const roughTimes = timesFor(rough, roughSteps.value);
  if (watch.cancelled()) return refused(CANCELLED);

  const density = meanDensity(rough, highest(mainStep(roughSteps.value, roughTimes)));
  const swings =
    options.bands === false
      ? []
      : swingsOf(rough, plan, finite(roughTimes), density, within(watch, 0.15, 0.6));
  const roughHeadlines = headlines(rough, roughSteps.value, finite(roughTimes));
  if (watch.cancelled()) return refused(CANCELLED);

  watch.report(0.62, 'Solving the field on finer panels');
  const fine =
    job.quality === 'draft'
      ? draft
      : await prepareSetUp(
          job,
          chemistry.value,
          placed.value,
          job.quality,
          context,
          within(watch, 0.62, 0.75),
        );
  if (!fine.ok) return fine;
  const c: Case = { ...rough, setUp: fine.value };
  const solved = fine === draft ? roughSteps : await solveAll(c, plan, context, watch);
  if (!solved.ok) return solved;
  if (watch.cancelled()) return refused(CANCELLED);
  watch.report(0.95, 'Writing it down');

  const error = errorOf(rough, roughSteps.value, c, solved.value);
  const warnings = [...checked.warnings, ...chemistry.warnings, ...placed.warnings, ...fine.value.warnings];
  const result = describe(c, context, solved.value, warnings);
  const scaled = bands(roughHeadlines, swings);
  const nominal = headlines(c, solved.value, finite(timesFor(c, solved.value)));
  for (const key of Object.keys(scaled) as (keyof typeof scaled)[]) {
    // The what-ifs ran on draft panels: their band is carried over as factors.
    const factor = roughHeadlines[key] > 0 ? nominal[key] / roughHeadlines[key] : 1;
    scaled[key] = { ...scaled[key], low: scaled[key].low * factor, high: scaled[key].high * factor };
  }
  result.forecast.band = scaled;
  result.forecast.field.error = error;
  result.forecast.story = storiesOf(c, solved.value, result.forecast);
  return done({ ...result, kept: draft.value }, result.forecast.warnings);
}

/** Every step of the plan on a set-up, summed over the poses of the part. */
const solveAll = (c: Case, plan: readonly PlannedStep[], context: JobContext, watch: Watch) =>
  addPoses(
    c,
    plan.map((step) => solveStep(c, step)),
    plan,
    context,
    watch,
  );

const CANCELLED: Problem = { code: 'cancelled', path: '', message: 'Stopped before the forecast was done.' };

/** Times that never end count as a day where a number is needed. */
const finite = (times: readonly number[]): number[] => times.map((t) => (Number.isFinite(t) ? t : 86400));

const within = (watch: Watch, from: number, to: number): Watch => ({
  report: (fraction, stage) => watch.report(from + fraction * (to - from), stage),
  cancelled: () => watch.cancelled(),
});

/** Decides the drive of every step. */
function planSteps(c: Case, context: JobContext): PlannedStep[] {
  const area = workArea(c);
  const decided = (drive: NonNullable<Job['steps'][number]['drive']>) =>
    'currentDensity' in drive ? { current: drive.currentDensity * area } : drive;
  return c.job.steps.map((step): PlannedStep => {
    const base = {
      name: step.name,
      ...(step.time !== undefined && { time: step.time }),
      ...(step.pulse && { pulse: step.pulse }),
      ...(step.rampTo && { rampTo: decided(step.rampTo) }),
    };
    if (step.drive) return { ...base, drive: decided(step.drive) };
    return chooseCurrent(c, context.library, { ...base, drive: { current: 0 } });
  });
}

/** Everything but the bands and the stories. */
function describe(
  c: Case,
  context: JobContext,
  steps: SolvedStep[],
  warnings: Problem[],
): Omit<JobResult, 'kept'> {
  const { job, setUp, chemistry, values } = c;
  const times = timesFor(c, steps);
  const shown = finite(times);
  const thickness = thicknessOf(steps, shown);
  const main = mainStep(steps, shown);
  const level = highest(main);
  const { result, local, laws } = level;
  const whole = spreadOf(setUp, thickness, setUp.part);
  const spread = spreadOf(setUp, thickness, setUp.significant);
  const efficiency = local.metal.map((m, i) =>
    local.currentDensity[i]! > 0 ? m / local.currentDensity[i]! : 0,
  );
  const eff = spreadOf(setUp, efficiency, setUp.part);
  const density = spreadOf(setUp, local.currentDensity, setUp.part);
  const trueArea = values.get(OWN.area)!;
  const duration = shown.reduce((a, b) => a + b, 0);
  const charge = steps.reduce((sum, s, k) => sum + s.current * shown[k]!, 0);
  const hydrogen = hydrogenOf(c, steps, shown);
  const [thinnest, thickest] = extremes(c, thickness, result.nodes.position, spread);
  const limits = limitsOf(c, context.library, main);
  const anodes = anodeForecasts(c, context.library, steps, shown);
  const forecast: Forecast = {
    current: main.current,
    cellVoltage: main.cellVoltage,
    duration,
    charge,
    depositMass: integral(result, thickness, setUp.part) * chemistry.metal.deposit.density * trueArea,
    thickness: {
      mean: meanOf(result, thickness, setUp.part),
      min: whole.value[0]!,
      max: whole.value.at(-1)!,
      significant: {
        min: spread.value[0]!,
        mean: meanOf(result, thickness, setUp.significant),
        quantiles: quantilesOf(spread),
      },
    },
    burnedArea: density.area - areaBelow(density, laws.burning),
    bareArea: areaBelow(density, laws.covering),
    band: {} as Forecast['band'],
    records: recordsUsed(chemistry, context.library),
    warnings,
    refusals: [],
    name: job.name,
    deposit: chemistry.metal.name,
    area: {
      part: areaOf(result, setUp.part),
      significant: areaOf(result, setUp.significant),
      hook: workArea(c) - areaOf(result, setUp.part),
    },
    steps: steps.map(
      (s, k): ForecastStep => ({
        name: s.plan.name,
        current: s.current,
        cellVoltage: s.cellVoltage,
        duration: shown[k]!,
        charge: s.current * shown[k]!,
        ...(s.plan.pulse && { peakCurrent: highest(s).result.current }),
      }),
    ),
    efficiency: { mean: efficiencyOf(level, setUp.part), min: quantileOf(eff, 0), max: quantileOf(eff, 1) },
    thinnest,
    thickest,
    anodes,
    voltageParts: voltageParts(c, level),
    limits,
    hydrogen,
    field: {
      status: worstStatus(steps),
      quality: job.quality,
      panels: setUp.domain.surface.patch.length,
      unknowns: result.nodes.count,
      imbalance: Math.max(...steps.flatMap((s) => s.levels.map((l) => l.result.imbalance))),
      error: { resistance: 0, thin: 0, thick: 0 },
    },
    story: {},
  };
  forecast.warnings = [
    ...warnings,
    ...warningsOf(c, forecast, times),
    ...pulseWarnings(c, context.library, steps),
  ];
  return {
    forecast,
    map: partMap(
      setUp,
      {
        thickness,
        currentDensity: local.currentDensity,
        metal: local.metal,
        limitFraction: local.limitFraction,
      },
      laws.burning,
      laws.covering,
    ),
    bodies: drawnBodies(setUp),
  };
}

const SHARES = [0, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 1];
const quantilesOf = (spread: Spread): Quantiles =>
  Object.fromEntries(SHARES.map((share) => [String(share), quantileOf(spread, share)]));

const worstStatus = (steps: readonly SolvedStep[]): string =>
  steps.flatMap((s) => s.levels.map((l) => l.result.status)).find((s) => s !== 'converged') ?? 'converged';

function hydrogenOf(c: Case, steps: readonly SolvedStep[], times: readonly number[]): Forecast['hydrogen'] {
  const work = Uint8Array.from(c.setUp.domain.surface.patch, (p) =>
    c.setUp.roles[p]!.role === 'work' ? 1 : 0,
  );
  const charge = steps.reduce(
    (sum, step, k) =>
      sum +
      step.levels.reduce((s, l) => s + l.share * integral(l.result, l.local.hydrogen, work), 0) * times[k]!,
    0,
  );
  const duration = times.reduce((a, b) => a + b, 0);
  const amount = gasAmount('hydrogen', charge);
  return { amount, volumePerHour: gasVolume((amount / duration) * 3600, 293.15) };
}

/** Thinnest and thickest place of the significant surface: the nodes nearest to the two ends of its spread. */
function extremes({ setUp }: Case, thickness: Float64Array, position: Float64Array, spread: Spread) {
  const { panel } = setUp.solver.layers.d.nodes;
  const { origin } = setUp.solver.layers.d.panels;
  const nearest = (wanted: number): Forecast['thinnest'] => {
    let best = -1;
    for (let i = 0; i < thickness.length; i++) {
      if (!setUp.significant[origin[panel[i]!]!]) continue;
      if (best < 0 || Math.abs(thickness[i]! - wanted) < Math.abs(thickness[best]! - wanted)) best = i;
    }
    return {
      position: [position[3 * best]!, position[3 * best + 1]!, position[3 * best + 2]!],
      thickness: wanted,
    };
  };
  return [nearest(quantileOf(spread, 0)), nearest(quantileOf(spread, 1))] as const;
}

function pulseWarnings(c: Case, library: Library, steps: readonly SolvedStep[]): Problem[] {
  return steps.flatMap((step, k) => {
    const { pulse } = step.plan;
    if (!pulse) return [];
    const { laws, result } = highest(step);
    const peak = result.current / workArea(c);
    const diffusivity = c.values.get('bath.diffusivity')!;
    return pulseRemarks(
      pulse,
      {
        slope: laws.cathode.at(-0.3)[1],
        capacitance: chosen(library.bench.doubleLayer).value,
        peak,
        electrons: c.chemistry.state.electrons,
        diffusivity,
        concentration: laws.metal,
      },
      `steps[${k}].pulse`,
    );
  });
}
