import { z } from 'zod';
import { quantity, range } from './shapes.js';

/** Shapes of the files about stripping, deposit systems and what comes after plating. */

export const stripperShape = z.strictObject({
  id: z.string(),
  /** Layer it takes off, `any` for mechanical removal. */
  layer: z.string(),
  way: z.enum(['anodic', 'dip', 'mechanical', 'refer']),
  bath: z.string(),
  metal: z.string().optional(),
  valence: z.number().int().positive().optional(),
  /** [A/m2] */
  current: range('currentDensity').optional(),
  /** Share of the current that dissolves the layer. */
  efficiency: range('fraction').optional(),
  /** Speed of a dip [m/s]. */
  rate: range('speed').optional(),
  restricted: z.string().optional(),
  stopWhen: z.array(z.string()).optional(),
  onBase: z.record(z.string(), z.strictObject({ effect: z.string(), allowed: z.boolean() })).optional(),
  makes: z.string().optional(),
  why: z.string().optional(),
  who: z.string().optional(),
  cite: z.string(),
});
export type Stripper = z.infer<typeof stripperShape>;

export const serviceShape = z.strictObject({
  id: z.string(),
  standard: z.string(),
  base: z.enum(['iron', 'copper', 'zinc', 'any']),
  deposit: z.string(),
  /** 1 mild, 2 moderate, 3 severe, 4 very severe, 5 extended. */
  service: z.number(),
  layers: z.array(z.strictObject({ metal: z.string(), least: quantity('length'), note: z.string() })).min(1),
  cite: z.string(),
});
export type ServiceClass = z.infer<typeof serviceShape>;

const reliefStep = z.strictObject({
  above: quantity('pressure'),
  to: quantity('pressure'),
  hours: z.number().positive(),
  hrc: z.string().optional(),
});
const heat = { temperature: range('temperature'), cite: z.string(), steps: z.array(reliefStep) };
export const reliefShape = z.strictObject({
  id: z.string(),
  before: z.strictObject(heat),
  after: z.strictObject({
    ...heat,
    startWithin: z.strictObject({ value: quantity('time'), cite: z.string() }),
  }),
  notAbove: z.array(
    z.strictObject({
      deposit: z.string(),
      limit: quantity('temperature'),
      why: z.string(),
      cite: z.string(),
    }),
  ),
});
export type Relief = z.infer<typeof reliefShape>;

export const threadShape = z.strictObject({
  id: z.string(),
  pitch: quantity('length'),
  /** Fundamental deviation of position g or G [m]. */
  room: quantity('length'),
  cite: z.string(),
});

export const adhesionShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  how: z.string(),
  /** Can be made without a laboratory. */
  bench: z.boolean(),
  destroys: z.boolean(),
  thinnest: quantity('length').optional(),
  thickest: quantity('length').optional(),
  /** Only tells something where the deposit is ductile. */
  ductile: z.boolean(),
  cite: z.string(),
});
export type AdhesionTest = z.infer<typeof adhesionShape>;

export const quenchShape = z.strictObject({
  id: z.string(),
  temperature: quantity('temperature'),
  cite: z.string(),
});

export const abrasiveShape = z.strictObject({ id: z.string(), grain: quantity('length'), cite: z.string() });
