import { z } from 'zod';
import { quantity } from './shapes.js';

/** Shapes of the files that say what metal a part is and whether to take the job. */

const share = z.number().gt(0).lt(1);

export const identificationShape = z
  .strictObject({
    id: z.string(),
    metals: z.array(
      z.strictObject({
        id: z.string(),
        name: z.string(),
        /** Entry of the substrates the metal leads to. */
        substrate: z.string(),
        /** Relative weight before any test; the weights need not sum to anything. */
        prior: z.number().positive(),
        /** [kg/m3] */
        density: z.strictObject({ from: quantity('density'), to: quantity('density'), cite: z.string() }),
      }),
    ),
    tests: z.array(
      z.strictObject({
        id: z.string(),
        title: z.string(),
        how: z.string(),
        caution: z.string(),
        minutes: z.number().positive(),
        /** Mark it leaves: 0 none, 1 hidden spot, 2 visible. */
        scar: z.union([z.literal(0), z.literal(1), z.literal(2)]),
        outcomes: z.array(z.string()).min(2),
        cite: z.string(),
        /** Chance of each outcome for each metal. */
        given: z.record(z.string(), z.array(share)),
      }),
    ),
    weighing: z.strictObject({
      title: z.string(),
      how: z.string(),
      minutes: z.number().positive(),
      /** Chance that a part nobody looked into is solid and of one metal. */
      solidUnlessTold: share,
      /** A hollow part fills this share of its outline with metal. */
      hollowFill: z.strictObject({ from: share, to: z.number().gt(0).lte(1) }),
      /** Chance that the density fits nothing on the list. */
      surprise: share,
      cite: z.string(),
    }),
  })
  .check(({ value, issues }) => {
    for (const test of value.tests)
      for (const { id } of value.metals) {
        const chances = test.given[id] ?? [];
        const sum = chances.reduce((a, b) => a + b, 0);
        if (chances.length !== test.outcomes.length || Math.abs(sum - 1) > 1e-9)
          issues.push({
            code: 'custom',
            input: chances,
            path: ['tests', test.id, id],
            message: `needs ${test.outcomes.length} chances that sum to 1, has ${chances.length} that sum to ${sum}`,
          });
      }
  });
export type Identification = z.infer<typeof identificationShape>;

export const gateShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  answer: z.enum(['conditions', 'refer']),
  reason: z.string(),
  /** Who can do what a bench cannot; empty where a condition needs nobody else. */
  who: z.string(),
  cite: z.string(),
});
export type GateRule = z.infer<typeof gateShape>;
