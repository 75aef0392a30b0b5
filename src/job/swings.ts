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
 * Inputs are first tried on one surface without a field, which costs next to nothing; those that together make less than
 * a hundredth of what all inputs move there are left out.
 */
export function swingsOf(
  c: Case,
  plan: readonly PlannedStep[],
  times: readonly number[],
  density: number,
  watch: Watch = UNWATCHED,
): Swing<Headline>[] {
  const { parameters } = c.chemistry;
  const moving = mattering(c, density);
  return moving.map((parameter, k) => {
    watch.report(k / moving.length, `What if ${plainName(parameter.name)} is off`);
    const [low, high] = ENDS.map((z) => {
      const moved: Case = { ...c, values: movedValues(parameters, parameter, z), solve: { tolerance: 1e-4 } };
      const steps = plan.map((step) => solveStep(moved, step));
      return headlines(moved, steps, times);
    });
    return { parameter, low: low!, high: high! };
  });
}

/** Share of all squared movement that may be left out. */
const NEGLECTED = 0.01;

/** The inputs worth a solve, most telling first. */
function mattering(c: Case, density: number): Parameter[] {
  const { parameters } = c.chemistry;
  const base = fingerprint(c, movedValues(parameters), density);
  const known = parameters.filter((p) => p.name === OWN.area || p.name === OWN.supply);
  const tried = parameters
    .filter((p) => p.distribution !== 'exact' && !known.includes(p))
    .map((parameter) => {
      const moves = ENDS.map((z) => fingerprint(c, movedValues(parameters, parameter, z), density));
      return { parameter, squares: base.map((x, k) => Math.max(...moves.map((m) => (m[k]! - x) ** 2))) };
    });
  // What moves one kind of figure little may move another most: each kind is judged by itself.
  const totals = base.map((_, k) => tried.reduce((sum, t) => sum + t.squares[k]!, 0));
  const weighed = tried
    .map((t) => ({
      ...t,
      most: Math.max(...t.squares.map((s, k) => (totals[k]! > SMALLEST ? s / totals[k]! : 0))),
    }))
    .sort((a, b) => b.most - a.most);
  let left = base.map(() => 0);
  const kept = weighed.toReversed().filter(({ squares }) => {
    const more = left.map((sum, k) => sum + squares[k]!);
    const small = more.every((sum, k) => sum <= NEGLECTED * totals[k]! || totals[k]! <= SMALLEST);
    if (small) left = more;
    return !small;
  });
  return [...known, ...kept.toReversed().map((t) => t.parameter)];
}

/** A kind of figure that no input moves by a thousandth needs no what-if at all. */
const SMALLEST = 1e-6;

/**
 * What a forecast turns on, without the field, each on a scale where a change of 0.01 is a per cent: efficiency at the mean
 * and at twice the mean current density, polarisability against conductivity (evenness), and the cell voltage.
 */
function fingerprint(c: Case, values: Values, density: number): number[] {
  const { cathode, anodes, conductivity } = c.chemistry.laws(values, c.setUp.height);
  const [eta, steep] = [overpotentialAt(cathode, -density), overpotentialAt(cathode, -2 * density)];
  const anode = [...anodes.values()].reduce(
    (sum, law) => sum + law.restPotential + overpotentialAt(law, density),
    0,
  );
  return [
    Math.log(cathode.split(eta).efficiency),
    Math.log(cathode.split(steep).efficiency),
    EVENNESS * Math.log(conductivity / cathode.at(eta)[1]),
    anode / anodes.size - cathode.restPotential - eta + (density * c.setUp.height) / conductivity,
  ];
}

/** How much of a relative change in Wagner number shows in the thinnest place; about a fifth on a ring (measured). */
const EVENNESS = 0.2;

const plainName = (name: string): string =>
  name
    .replace(/([a-z])([A-Z])/g, (_, a: string, b: string) => `${a} ${b.toLowerCase()}`)
    .replaceAll('.', ' ');
