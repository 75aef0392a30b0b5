import type { Chemistry, Step, Surface } from '../records/shapes.js';
import { each, type Rule } from './rule.js';
import { isBath, laysMetal, type Visit } from './trace.js';

const holds = (step: Step, what: Chemistry) => step.bath.contains.includes(what);

/** Never on this bench, whatever the metal. */
const NEVER: Partial<Record<Chemistry, string>> = {
  cyanide: 'cyanide beside acid gives hydrogen cyanide, which kills',
  fluoride: 'hydrofluoric acid and its salts burn to the bone',
  chromate: 'hexavalent chromium is a carcinogen by breath',
  nitric: 'nitric acid on these metals gives brown nitrogen oxides, which harm the lungs hours later',
};
const neverHere = each(({ step }) => {
  const bad = step.bath.contains.find((c) => NEVER[c]);
  return bad && `${bad} is not used on this bench: ${NEVER[bad]}`;
});

/**
 * Drag-in: one rinse after cleaning that only ever meets more alkali, two after anything else, the last one deionised
 * before metal is laid, a long one where pores hold acid. Baths of one family follow each other wet.
 */
const rinses: Rule = (visits) => {
  const problems: { at: number; message: string }[] = [];
  const after = visits.at(-1);
  const stops = [
    ...visits.filter((v) => isBath(v.step)),
    ...visits.filter((v) => v.step.kind === 'dry'),
    ...(after && isBath(after.step) ? [after] : []),
  ];
  for (const { step, before, rinses: found, index, surface } of stops) {
    if (!before) continue;
    if (step.bath.family !== undefined && step.bath.family === before.bath.family) {
      // No rinse is needed here; but a tap-water rinse brings chloride and hardness in.
      const last = found.at(-1);
      if (last && !holds(last, 'deionised'))
        problems.push({ at: index, message: `the last rinse before "${step.title}" is not deionised` });
      continue;
    }
    const needed = ['degrease', 'soak'].includes(before.kind) ? 1 : 2;
    if (found.length < needed)
      problems.push({
        at: index,
        message: `${found.length} of ${needed} rinses between "${before.title}" and "${step.title}"`,
      });
    else if (needed === 2 && !holds(found.at(-1)!, 'deionised'))
      problems.push({ at: index, message: `the last rinse before "${step.title}" is not deionised` });
    if (
      surface.porous &&
      before.bath.ph === 'acid' &&
      !laysMetal(before) &&
      !found.some((r) => holds(r, 'long'))
    )
      problems.push({
        at: index,
        message: `pores hold acid from "${before.title}" and there is no long rinse`,
      });
  }
  const last = visits.findLast((v) => isBath(v.step));
  if (last && !visits.some((v) => v.step.kind === 'dry' && v.index > last.index))
    problems.push({ at: last.index, message: `the part is left wet after "${last.step.title}"` });
  const dried = visits.find((v) => v.step.kind === 'dry')?.index ?? Number.POSITIVE_INFINITY;
  for (const v of visits)
    if (v.step.kind === 'rinse' && v.index > dried)
      problems.push({ at: v.index, message: 'rinsed after drying and left wet' });
  return problems;
};

/** A strip is there to dissolve the covering; what matters is the metal it then reaches. */
const metUnder = ({ step, surface, coveredYet }: Visit, base: Surface): Surface =>
  step.kind === 'strip' && coveredYet ? base : surface;

const attacked = each((visit, { base }) => {
  const { step } = visit;
  if (!isBath(step)) return false;
  const meets = metUnder(visit, base);
  // A film-covered metal that its own strike opens is meant to be bitten.
  if (meets.film?.opensWith !== undefined && meets.film.opensWith === step.bath.family) return false;
  const bad = step.bath.contains.find((c) => meets.attackedBy?.[c]);
  return bad && `${bad} on ${meets.title.toLowerCase()}: ${meets.attackedBy![bad]}`;
});

const weakAcidOnly = each((visit, { base }) => {
  const { step } = visit;
  const surface = metUnder(visit, base);
  if (step.bath.ph !== 'acid' || laysMetal(step)) return false;
  if (surface.acid) {
    if ((step.time?.to ?? Number.POSITIVE_INFINITY) > surface.acid.limit)
      return `too long in acid: ${surface.acid.why}`;
    if ((step.bath.strength ?? 1) > surface.acid.strongest) return `acid too strong: ${surface.acid.why}`;
  }
  const short = surface.porous ?? surface.hydrogen;
  if (short && (step.time?.to ?? Number.POSITIVE_INFINITY) > short.acidLimit)
    return `too long in acid: ${short.why}`;
  return false;
});

/** Chloride carried into silver falls out as a film; a hydrochloric dip has no place before silver at all. */
const noHydrochloricBeforeSilver: Rule = (visits) => {
  const silver = visits.find((v) => v.step.metal === 'silver');
  if (!silver) return [];
  return visits.flatMap((v) => {
    if (v.index > silver.index || !holds(v.step, 'hydrochloric')) return [];
    const covered = visits.some(
      (m) => m.index >= v.index && m.index < silver.index && laysMetal(m.step) && m.step.metal !== 'silver',
    );
    if (covered && v.step.kind !== 'acid') return [];
    return [
      {
        at: v.index,
        message: 'hydrochloric acid before silver: silver chloride settles and the silver peels',
      },
    ];
  });
};

export const CHEMISTRY_RULES = {
  'never-on-this-bench': neverHere,
  'rinse-missing': rinses,
  'attacks-surface': attacked,
  'acid-too-much': weakAcidOnly,
  'hydrochloric-before-silver': noHydrochloricBeforeSilver,
} satisfies Record<string, Rule>;
