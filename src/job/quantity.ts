import { z } from 'zod';
import { type Dimension, parseQuantity, unitsOf } from '../units/index.js';

/** A field of a job file that holds text with a unit and becomes an SI number. */
export const quantity = (dimension: Dimension, example: string) =>
  z
    .string()
    .meta({
      description: `${dimension} with a unit (${unitsOf(dimension).join(', ')})`,
      examples: [example],
    })
    .transform((text, context) => {
      const read = parseQuantity(text, dimension);
      if (read.ok) return read.value;
      const [problem] = read.problems;
      context.addIssue({
        code: 'custom',
        message: problem!.message,
        params: { code: problem!.code, hint: problem!.hint },
      });
      return z.NEVER;
    });

/** A position or size as three lengths, `[0 mm, 0 mm, 45 mm]`. */
export const lengths = () =>
  z.tuple([quantity('length', '0 mm'), quantity('length', '0 mm'), quantity('length', '45 mm')]);

/** Turns about the x, y and z axes, in this order. */
export const turns = () =>
  z.tuple([quantity('angle', '90 deg'), quantity('angle', '0 deg'), quantity('angle', '0 deg')]);
