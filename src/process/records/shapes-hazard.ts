import { z } from 'zod';
import { quantity } from './shapes.js';

/** Shapes of the files about gases, substances and waste. */

const limit = z.strictObject({ value: quantity('fraction'), cite: z.string() });

export const gasLimitShape = z.strictObject({
  id: z.enum(['hydrogen', 'chlorine', 'oxygen']),
  title: z.string(),
  made: z.string(),
  /** Lower limit of burning in air, and what to stay below, by volume. */
  burns: limit.optional(),
  keepBelow: limit.optional(),
  /** Breathing air over a working day, and immediate danger, by volume. */
  longTerm: limit.optional(),
  danger: limit.optional(),
  says: z.string(),
  cite: z.string(),
});
export type GasLimit = z.infer<typeof gasLimitShape>;

export const substanceShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  harm: z.string(),
  wear: z.string(),
  spill: z.string(),
  /** Chemistry or things it must never meet. */
  never: z.array(z.string()),
  cite: z.string(),
});
export type Substance = z.infer<typeof substanceShape>;

const concentration = z.strictObject({ value: quantity('massConcentration'), cite: z.string() });

export const wasteShape = z.strictObject({
  id: z.string(),
  metal: z.string(),
  /** Formula of the sludge, and hydroxide ions an atom of metal takes. */
  hydroxide: z.string(),
  hydroxides: z.number().int().positive(),
  /** Solubility products of sources that disagree; -log10 with molar concentrations. */
  pKsp: z.strictObject({ low: z.number(), high: z.number(), cite: z.string() }),
  /** pH practice works in. */
  window: z.strictObject({ from: z.number(), to: z.number(), cite: z.string() }),
  /** Discharge limits [kg/m3]; absent where no rule names the metal. */
  daily: concentration.optional(),
  monthly: concentration.optional(),
  /** pH above which the hydroxide goes back into solution. */
  amphoteric: z.strictObject({ above: z.number(), cite: z.string() }).optional(),
  label: z.string(),
});
export type WasteMetal = z.infer<typeof wasteShape>;
