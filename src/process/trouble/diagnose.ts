import type { Library } from '../../library/index.js';
import { unknownName } from '../../library/index.js';
import { done, type Outcome, refused } from '../../units/index.js';
import { plateable } from '../finish/index.js';
import { entropy, expectedGain } from '../identify/index.js';
import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';
import { type Cause, factValue, type Sign, type Symptom } from '../records/shapes-trouble.js';
import { type Facts, fillRemedy } from './amounts.js';

export interface RankedCause {
  id: string;
  title: string;
  /** Share among the causes named here; one part in ten is kept for what nobody named. */
  probability: number;
  /** What in this job's own numbers speaks for it or against it. */
  because: string[];
  check: string;
  remedy: string;
  source: string;
}

export interface Diagnosis {
  symptom: string;
  looks: string;
  causes: RankedCause[];
  /** The one check that separates the causes best, and what it would tell [bit]; none where one cause stands alone. */
  separate?: { how: string; of: string; bits: number };
  /** Facts the causes ask for that the job does not know. */
  unknown: { id: string; title: string }[];
}

/** Something nobody on the list named (our own judgement). */
const UNNAMED = 0.1;

/**
 * Ranks the causes of a symptom: their weight in the trade's tables times what the job's own numbers say.
 *
 * @param symptom id of the symptom
 * @param facts SI numbers by fact id
 */
export function diagnose(
  library: Library,
  practice: Practice,
  symptom: string,
  facts: Facts,
): Outcome<Diagnosis> {
  const found = practice.symptoms.get(symptom);
  if (!found) return refused(unknownName(symptom, practice.symptoms.keys(), 'symptom', 'symptom'));
  const copper = plateable(library, 'copper');
  if (!copper.ok) throw new Error('copper is not in the library');

  const judged = found.causes.map((cause) => ({ cause, ...weigh(practice, cause, facts) }));
  const total = judged.reduce((sum, j) => sum + j.weight, 0);
  const p = judged.map((j) => ((1 - UNNAMED) * j.weight) / total);
  const causes = judged
    .map(
      ({ cause, because }, i): RankedCause => ({
        id: cause.id,
        title: cause.title,
        probability: p[i]!,
        because,
        check: cause.check.how,
        remedy: fillRemedy(cause.remedy, facts, copper.value),
        source: readCite(practice.sources, cause.cite).text,
      }),
    )
    .sort((a, b) => b.probability - a.probability);
  const separate = bestCheck(found, p);
  return done({
    symptom: found.id,
    looks: found.looks,
    causes,
    ...(separate && { separate }),
    unknown: missing(practice, found, facts),
  });
}

function weigh(practice: Practice, cause: Cause, facts: Facts): { weight: number; because: string[] } {
  let weight = cause.weight;
  const because: string[] = [];
  for (const sign of cause.signs) {
    const value = facts[sign.fact];
    if (value === undefined) continue;
    const yes = holds(practice, sign, value);
    weight *= yes ? sign.times : sign.otherwise;
    because.push(`${yes ? 'for' : 'against'}: ${say(practice, sign, yes)}`);
  }
  return { weight, because };
}

function holds(practice: Practice, sign: Sign, value: number): boolean {
  const limit = factValue(practice.facts.get(sign.fact)!, (sign.above ?? sign.below ?? sign.is)!)!;
  if (sign.above !== undefined) return value > limit;
  if (sign.below !== undefined) return value < limit;
  return value === limit;
}

function say(practice: Practice, sign: Sign, yes: boolean): string {
  const { title } = practice.facts.get(sign.fact)!;
  if (sign.is !== undefined) return `${title}: ${yes === (sign.is === 'yes') ? 'yes' : 'no'}`;
  const word = sign.above !== undefined ? 'above' : 'below';
  return `${title} is ${yes ? '' : 'not '}${word} ${sign.above ?? sign.below}`;
}

/** The check whose yes or no is expected to take away most doubt. */
function bestCheck(symptom: Symptom, p: readonly number[]): Diagnosis['separate'] {
  if (symptom.causes.length < 2) return undefined;
  const all = [...p, UNNAMED];
  const doubt = entropy(all);
  const ranked = symptom.causes
    .map(({ title, check }, i) => {
      const shows = all.map((_, j) => (i === j ? check.told : check.else));
      const bits = expectedGain(doubt, all, [shows, shows.map((s) => 1 - s)]);
      return { how: check.how, of: title, bits };
    })
    .sort((a, b) => b.bits - a.bits);
  return ranked[0];
}

function missing(practice: Practice, symptom: Symptom, facts: Facts): Diagnosis['unknown'] {
  const asked = new Set(symptom.causes.flatMap((c) => c.signs.map((s) => s.fact)));
  return [...asked]
    .filter((id) => facts[id] === undefined)
    .map((id) => ({ id, title: practice.facts.get(id)!.title }));
}

/** Symptoms that a metal can show. */
export const symptomsOf = (practice: Practice, metal: string): Symptom[] =>
  [...practice.symptoms.values()].filter((s) => s.metals.includes(metal));
