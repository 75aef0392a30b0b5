import type { StepKind } from '../records/shapes.js';
import { each, type Rule } from './rule.js';
import { isBath, laysMetal } from './trace.js';

/** Place of each kind of step before metal lies on the part. */
const RANK: Record<StepKind, number> = {
  prebake: 0,
  mechanical: 1,
  hook: 2,
  degrease: 3,
  strip: 4,
  soak: 5,
  electroclean: 6,
  acid: 7,
  activate: 8,
  strike: 9,
  plate: 9,
  rinse: Number.NaN,
  dry: 10,
  postbake: 11,
};

/** Coarse before fine before active; after the first metal only more metal, dips between layers, drying and baking. */
const order: Rule = (visits) => {
  const main = visits.filter((v) => v.step.kind !== 'rinse');
  return main.flatMap((visit, i) => {
    const { step, index, plated } = visit;
    const before = main[i - 1]?.step;
    if (plated) {
      const next = main[i + 1]?.step;
      if (step.kind === 'activate' && !(next && laysMetal(next)))
        return [{ at: index, message: `"${step.title}" after plating, with no metal to follow` }];
      const done = before && ['dry', 'postbake'].includes(before.kind);
      const allowed = done ? ['postbake'] : ['strike', 'plate', 'activate', 'dry', 'postbake'];
      return allowed.includes(step.kind)
        ? []
        : [{ at: index, message: `"${step.title}" after metal has been laid` }];
    }
    return before && RANK[step.kind] < RANK[before.kind]
      ? [{ at: index, message: `"${step.title}" comes after "${before.title}"` }]
      : [];
  });
};

/** No step of the frame may be missing: what it takes off would lie under the metal. */
const complete: Rule = (visits, passage) => {
  const first = visits.find((v) => laysMetal(v.step));
  if (!first) return [{ at: visits.length - 1, message: 'no metal is laid at all' }];
  const before = visits.filter((v) => v.index < first.index).map((v) => v.step.kind);
  const missing = (['mechanical', 'hook', 'degrease', 'soak', 'electroclean'] as const).filter(
    (kind) => !before.includes(kind),
  );
  const problems = missing.map((kind) => ({ at: first.index, message: `there is no ${kind} step` }));
  if (!before.includes('acid') && !before.includes('activate'))
    problems.push({ at: first.index, message: 'nothing activates the surface before the metal' });
  if (passage.covered && !before.includes('strip'))
    problems.push({
      at: first.index,
      message: `the old ${passage.covered.title.toLowerCase()} is not stripped`,
    });
  return problems;
};

const waterBreak: Rule = (visits) => {
  const last = visits.findLast((v) => isBath(v.step) && v.step.bath.ph === 'alkaline' && !laysMetal(v.step));
  if (!last || last.step.test === 'water-break') return [];
  return [{ at: last.index, message: `"${last.step.title}" does not end on the water-break test` }];
};

const noDrying: Rule = (visits) => {
  const wet = visits.findIndex((v) => isBath(v.step));
  const lastMetal = visits.findLastIndex((v) => laysMetal(v.step));
  return visits.flatMap((v) =>
    ['dry', 'prebake', 'postbake', 'mechanical', 'hook'].includes(v.step.kind) &&
    v.index > wet &&
    v.index < lastMetal
      ? [{ at: v.index, message: `"${v.step.title}" lets the part dry before the metal` }]
      : [],
  );
};

/** Wet and active does not last: rinses after activation, and pauses allowed there, fit in the time the surface keeps. */
const inTime: Rule = (visits) => {
  const first = visits.find((v) => laysMetal(v.step));
  const active = first && visits.findLast((v) => v.index < first.index && isBath(v.step));
  return visits.flatMap(({ step, index, surface, wait }) => {
    const problems: { at: number; message: string }[] = [];
    const limit = surface.activeFor.value;
    if (laysMetal(step) && wait > limit)
      problems.push({
        at: index,
        message: `${wait} s of rinsing, but ${surface.title.toLowerCase()} keeps ${limit} s`,
      });
    const afterActivation = active && index > active.index && step.kind !== 'dry' && step.kind !== 'postbake';
    if (afterActivation && step.pauseBefore > limit)
      problems.push({
        at: index,
        message: `a pause of ${step.pauseBefore} s before "${step.title}", but ${surface.title.toLowerCase()} keeps ${limit} s`,
      });
    if (['electroclean', 'acid', 'activate'].includes(step.kind) && step.pauseBefore > 60)
      problems.push({
        at: index,
        message: `a pause of ${step.pauseBefore} s before "${step.title}" lets the cleaner dry on`,
      });
    return problems;
  });
};

/** Every bath says how long, how warm and, with current, how much. */
const bounded = each(({ step }) => {
  if (!isBath(step)) return false;
  if (!step.temperature) return `"${step.title}" has no temperature`;
  if (!step.time && !laysMetal(step)) return `"${step.title}" has no time`;
  if ((laysMetal(step) || step.kind === 'electroclean') && !step.current)
    return `"${step.title}" has no current`;
  return false;
});

/** A strike of a metal is not the layer that was asked for. */
const endsAsAsked: Rule = (visits, { metals }) => {
  const laid = visits.filter((v) => laysMetal(v.step));
  const at = visits.length - 1;
  const last = laid.at(-1)?.step;
  if (last?.metal !== metals.at(-1) || last?.kind !== 'plate')
    return [{ at, message: `ends in ${last?.title ?? 'nothing'}, asked was ${metals.at(-1)}` }];
  let i = 0;
  for (const { step } of laid) if (step.kind === 'plate' && step.metal === metals[i]) i += 1;
  return i < metals.length ? [{ at, message: `${metals[i]} is missing` }] : [];
};

export const ORDER_RULES = {
  'wrong-order': order,
  'step-missing': complete,
  'water-break-missing': waterBreak,
  'dries-before-metal': noDrying,
  'too-late': inTime,
  unbounded: bounded,
  'wrong-ending': endsAsAsked,
} satisfies Record<string, Rule>;
