import { overpotentialAt } from '../electrode/index.js';
import { UNWATCHED, type Watch } from '../numerics/index.js';
import type { Parameter } from '../units/index.js';
import { ENDS, movedValues, type Swing, type Values } from './band.js';
import { OWN } from './chemistry.js';
import { integral, spreadOf } from './local.js';
import {
  type Case,
  efficiencyOf,
  type PlannedStep,
  reached,
  type SolvedStep,
  solveStep,
  thicknessOf,
  timesFor,
} from './plan.js';

/** Numbers of a forecast that carry a band. */
export const HEADLINES = [
  'thickness',
  'current',
  'cellVoltage',
  'duration',
  'depositMass',
  'efficiency',
] as const;
export type Headline = (typeof HEADLINES)[number];
export type Headlines = Record<Headline, number>;

/** The headline numbers of a plan run for the times given [s]. */
export function headlines(c: Case, steps: readonly SolvedStep[], times: readonly number[]): Headlines {
  const { setUp, job, chemistry, values } = c;
  const thickness = thicknessOf(steps, times);
  const spread = spreadOf(setUp, thickness, setUp.significant);
  const main = mainStep(steps, times);
  const level = main.levels.at(-1)!;
  const volume = integral(level.result, thickness, setUp.part);
  return {
    thickness: reached(job, spread),
    current: main.current,
    cellVoltage: main.cellVoltage,
    duration: timesFor(c, steps).reduce((a, b) => a + b, 0),
    depositMass: volume * chemistry.metal.deposit.density * values.get(OWN.area)!,
    efficiency: efficiencyOf(level, setUp.part),
  };
}

/** The step that matters most: the one that carries the most charge. */
export function mainStep(steps: readonly SolvedStep[], times: readonly number[]): SolvedStep {
  const charge = (k: number): number => steps[k]!.current * Math.min(times[k]!, 1e9);
  return steps.reduce((best, step, k) => (charge(k) > charge(steps.indexOf(best)) ? step : best), steps[0]!);
}

/**
 * Takes every input that matters to both ends of its 90 % interval through the solver.
 * Inputs are first tried on one surface without a field (a fraction of a millisecond each); those that move neither the
 * efficiency, the voltage, the polarisability, the conductivity nor the limit by a noticeable amount are left out.
 */
export function swingsOf(
  c: Case,
  plan: readonly PlannedStep[],
  times: readonly number[],
  density: number,
  watch: Watch = UNWATCHED,
): Swing<Headline>[] {
  const { parameters } = c.chemistry;
  const moving = parameters.filter((p) => p.distribution !== 'exact' && matters(c, p, density));
  return moving.map((parameter, k) => {
    watch.report(k / moving.length, `What if ${plainName(parameter.name)} is off`);
    const [low, high] = ENDS.map((z) => {
      const moved: Case = { ...c, values: movedValues(parameters, parameter, z) };
      const steps = plan.map((step) => solveStep(moved, step));
      return headlines(moved, steps, times);
    });
    return { parameter, low: low!, high: high! };
  });
}

/** Smallest relative change of anything that is worth a solve. */
const NOTICEABLE = 2e-3;

function matters(c: Case, parameter: Parameter, density: number): boolean {
  if (parameter.name === OWN.area || parameter.name === OWN.supply) return true;
  const base = fingerprint(c, movedValues(c.chemistry.parameters), density);
  return ENDS.some((z) => {
    const moved = fingerprint(c, movedValues(c.chemistry.parameters, parameter, z), density);
    return moved.some((x, k) => Math.abs(x - base[k]!) > NOTICEABLE * Math.max(Math.abs(base[k]!), 1e-3));
  });
}

/** What a forecast turns on, without the field: at the mean and three times the mean current density. */
function fingerprint(c: Case, values: Values, density: number): number[] {
  const { cathode, anodes, conductivity, metal } = c.chemistry.laws(values, c.setUp.height);
  const at = [density, 3 * density].flatMap((i) => {
    const eta = overpotentialAt(cathode, -i);
    const { efficiency, limitFraction } = cathode.split(eta);
    return [efficiency, limitFraction / 10, cathode.restPotential + eta, (100 * 1) / cathode.at(eta)[1]];
  });
  const anodic = [...anodes.values()].map((law) => law.restPotential + overpotentialAt(law, density));
  return [...at, ...anodic, conductivity, metal / 100];
}

const plainName = (name: string): string =>
  name
    .replace(/([a-z])([A-Z])/g, (_, a: string, b: string) => `${a} ${b.toLowerCase()}`)
    .replaceAll('.', ' ');
