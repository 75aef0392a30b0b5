import type { Surface } from '../records/shapes.js';
import { each, type Rule } from './rule.js';
import { isBath, laysMetal } from './trace.js';

/**
 * A metal this much nobler than the surface settles from its simple ions without current, loosely [V].
 * Nickel on iron (0.19 V) and tin on iron (0.31 V) are plated directly all over the trade; copper on tin (0.48 V), tin and
 * nickel on zinc (0.6 and 0.5 V), copper on iron (0.79 V) are not. Common practice, no source: the line is drawn between.
 */
const DISPLACES = 0.4;

/** Standard potential of a metal by the surface of that name [V]. */
const potentialOf = (surfaces: ReadonlyMap<string, Surface>, metal: string) =>
  surfaces.get(metal)!.potential.value;

const displacement = each(({ step, surface }, { surfaces }) => {
  if (!laysMetal(step) || surface.film?.stopsDisplacement) return false;
  const drop = potentialOf(surfaces, step.metal!) - surface.potential.value;
  return (
    !step.complexed &&
    drop > DISPLACES &&
    `${step.metal} settles on ${surface.title.toLowerCase()} without current and rubs off (${drop.toFixed(2)} V nobler)`
  );
});

/** Even from a complexed bath silver needs its strike, on whatever but silver. */
const silverStrike = each(
  ({ step, surface }) =>
    step.metal === 'silver' &&
    step.kind === 'plate' &&
    surface.id !== 'silver-struck' &&
    'silver without a silver strike',
);

/** Silver and nobler metals lie on copper alloys, nickel or each other, never on a metal that acid dissolves (common practice, no source). */
const preciousOnBase = each(
  ({ step, surface }, { surfaces }) =>
    laysMetal(step) &&
    potentialOf(surfaces, step.metal!) > 0.7 &&
    surface.potential.value < 0 &&
    !surface.film?.stopsDisplacement &&
    `${step.metal} straight on ${surface.title.toLowerCase()}: it settles without current, and the base rusts through its pores`,
);

const liveEntry = each(
  ({ step }) => laysMetal(step) && !step.live && `"${step.title}" is entered without the current on`,
);

const neutralFirst = each(
  ({ step, surface }) =>
    laysMetal(step) &&
    surface.needsNeutralFirst &&
    step.bath.ph === 'acid' &&
    `the acid of "${step.title}" attacks ${surface.title.toLowerCase()}`,
);

/** A passive film is opened as anode, and covered as cathode in the same bath, at once. */
const filmOpened = each(({ step, surface, before, rinses }) => {
  const key = surface.film?.opensWith;
  if (!laysMetal(step) || key === undefined) return false;
  if (step.bath.family !== key)
    return `${surface.title.toLowerCase()} is passive: "${step.title}" would peel`;
  const opened = before?.opens?.includes(surface.id) && before.bath.family === key && rinses.length === 0;
  return opened
    ? false
    : `nothing opens the film of ${surface.title.toLowerCase()} just before "${step.title}"`;
});

const polarity = each(({ step, surface }) => {
  if (!step.current) return false;
  if (laysMetal(step))
    return step.current.polarity === 'cathodic' ? false : `"${step.title}" with the part as anode`;
  if (step.current.polarity === 'cathodic') {
    return surface.hydrogen && `the part as cathode: ${surface.hydrogen.why}`;
  }
  if (step.opens?.includes(surface.id)) return false;
  const limit = surface.anodicLimit;
  return (
    limit &&
    (step.time?.to ?? Number.POSITIVE_INFINITY) > limit.value &&
    `${surface.title.toLowerCase()} as anode: ${limit.why}`
  );
});

/** Highest electrocleaning current in use [A/m2]: 150 A/ft2 on steel (Metal Finishing Guidebook 2013, p.57 table I), rounded up. */
const CLEANING_LIMIT = 1650;
const cleaningCurrent = each(
  ({ step }) =>
    step.kind === 'electroclean' &&
    step.current !== undefined &&
    step.current.to > CLEANING_LIMIT &&
    'more cleaning current than any metal takes',
);

/** Hydrogen in hard steel: relaxed before, baked after and in time, and no bath that gasses more than it plates. */
const embrittlement: Rule = (visits, { base }) => {
  if (!base.hydrogen) return [];
  const at = visits.length - 1;
  const problems: { at: number; message: string }[] = [];
  if (visits[0]?.step.kind !== 'prebake')
    problems.push({ at: 0, message: 'no stress-relief bake before the acid' });
  for (const { step, index } of visits)
    if (step.inefficient) problems.push({ at: index, message: step.inefficient });
  const bake = visits.at(-1)?.step;
  if (bake?.kind !== 'postbake') return [...problems, { at, message: 'no bake after plating' }];
  const { temperature, time, pauseBefore } = bake;
  const KELVIN = 273.15;
  if (!temperature || temperature.from < 190 + KELVIN || temperature.to > 220 + KELVIN)
    problems.push({ at, message: 'the bake is not at 190-220 C (ASTM B850)' });
  if (!time || time.from < 8 * 3600)
    problems.push({ at, message: 'the bake is shorter than 8 h (ASTM B850)' });
  if (pauseBefore > 4 * 3600)
    problems.push({ at, message: 'the bake starts later than 4 h after plating (ASTM B850)' });
  return problems;
};

const heat = each(({ step }, { base }) => {
  const limit = base.heatLimit?.value;
  return (
    limit !== undefined &&
    step.temperature !== undefined &&
    step.temperature.to > limit &&
    `"${step.title}" is hotter than ${base.title.toLowerCase()} takes`
  );
});

const barrier = each(
  ({ step, surface }) =>
    laysMetal(step) &&
    surface.diffusesInto?.includes(step.metal!) &&
    `${step.metal} straight on ${surface.title.toLowerCase()} sinks in; a barrier of nickel or copper is missing`,
);

/** Heat treatment of a part that is not hard steel is a mistake in the card. */
const needlessBake = each(
  ({ step }, { base }) =>
    (step.kind === 'prebake' || step.kind === 'postbake') &&
    !base.hydrogen &&
    `"${step.title}" on a metal that needs none`,
);

/** Copper is laid on nothing that the liquid before could have left alkaline film on: acid bath after alkaline bath wants a dip. */
const reactivated = each(
  ({ step, before }) =>
    laysMetal(step) &&
    isBath(step) &&
    step.bath.ph === 'acid' &&
    before?.bath.ph === 'alkaline' &&
    `an alkaline film from "${before.title}" is carried into "${step.title}"`,
);

export const METAL_RULES = {
  'settles-without-current': displacement,
  'strike-missing': silverStrike,
  'precious-on-base': preciousOnBase,
  'dead-entry': liveEntry,
  'acid-bath-attacks': neutralFirst,
  'film-not-opened': filmOpened,
  'wrong-polarity': polarity,
  'too-much-current': cleaningCurrent,
  embrittlement,
  'too-hot': heat,
  'barrier-missing': barrier,
  'needless-bake': needlessBake,
  'alkali-into-acid': reactivated,
} satisfies Record<string, Rule>;
