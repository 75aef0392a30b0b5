import { z } from 'zod';
import { type Dimension, parseQuantity, unitsOf } from '../../units/index.js';

/** Shapes of the files about trouble: what a job knows of itself, what is seen, what may cause it. */

export const factShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  /** A quantity, `yes-no` or `count`. */
  of: z
    .string()
    .refine(
      (q) => q === 'yes-no' || q === 'count' || unitsOf(q as Dimension) !== undefined,
      'no such quantity',
    ),
  /** Where the number comes from. */
  from: z.enum(['forecast', 'run', 'bath', 'job']),
});
export type Fact = z.infer<typeof factShape>;

const signShape = z
  .strictObject({
    fact: z.string(),
    /** Text in the unit of the fact; a bare number for a share or a count. */
    above: z.string().optional(),
    below: z.string().optional(),
    is: z.enum(['yes', 'no']).optional(),
    /** Factor on the weight where the sign holds, and where it does not. */
    times: z.number().gt(1),
    otherwise: z.number().gt(0).lte(1),
  })
  .refine(
    (s) => [s.above, s.below, s.is].filter((x) => x !== undefined).length === 1,
    'one of above, below, is',
  );
export type Sign = z.infer<typeof signShape>;

const causeShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  weight: z.number().positive(),
  signs: z.array(signShape),
  check: z.strictObject({
    how: z.string(),
    /** Chance that it shows when this is the cause, and when another is. */
    told: z.number().gt(0).lt(1),
    else: z.number().gt(0).lt(1),
  }),
  /** May hold `{amount|words when the amount is not known}`. */
  remedy: z.string(),
  cite: z.string(),
});
export type Cause = z.infer<typeof causeShape>;

export const symptomShape = z.strictObject({
  id: z.string(),
  metals: z.array(z.string()).min(1),
  looks: z.string(),
  causes: z.array(causeShape).min(1),
});
export type Symptom = z.infer<typeof symptomShape>;

/** Reads the value of a fact as a number: SI, 1 or 0 for yes or no, a count. Undefined where it cannot be read. */
export function factValue(fact: Fact, text: string): number | undefined {
  if (fact.of === 'yes-no') return text === 'yes' ? 1 : text === 'no' ? 0 : undefined;
  const bare = /^[+-]?[\d.]+$/.test(text.trim());
  if (fact.of === 'count') return bare ? Number(text) : undefined;
  const read = parseQuantity(bare && fact.of === 'pH' ? `${text} pH` : text, fact.of as Dimension);
  return read.ok ? read.value : undefined;
}
