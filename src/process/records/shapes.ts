import { z } from 'zod';
import { type Dimension, parseQuantity } from '../../units/index.js';

/** Shapes of the practice files. Quantities are written as text with a unit and read here, once, as SI numbers. */

export const quantity = (dimension: Dimension) =>
  z.string().transform((text, context) => {
    const read = parseQuantity(text, dimension);
    if (read.ok) return read.value;
    context.addIssue({ code: 'custom', message: read.problems[0]!.message });
    return z.NEVER;
  });

/** `{ from: 60 C, to: 80 C }`, with its own source where that is not the entry's. */
export const range = (dimension: Dimension) =>
  z
    .strictObject({ from: quantity(dimension), to: quantity(dimension), cite: z.string().optional() })
    .refine((r) => r.from <= r.to, 'the range runs downwards');

/** Chemistry the checker reasons about. The last four are known only to be refused. */
export const CHEMISTRY = [
  'solvent', 'detergent', 'alkali-mild', 'caustic', 'hydrochloric', 'sulfuric', 'sulfamic', 'chloride', 'sulfite',
  'ammonia', 'nickel', 'copper', 'tin', 'zinc', 'silver', 'gold', 'palladium', 'rhodium', 'water', 'deionised', 'long',
  'nitric', 'chromate', 'fluoride', 'cyanide',
] as const; // biome-ignore format: a table of words
export type Chemistry = (typeof CHEMISTRY)[number];

export const KINDS = [
  'prebake', 'mechanical', 'hook', 'degrease', 'strip', 'soak', 'electroclean', 'acid', 'activate', 'strike', 'plate',
  'rinse', 'dry', 'postbake',
] as const; // biome-ignore format: a table of words
export type StepKind = (typeof KINDS)[number];

const bath = z.strictObject({
  text: z.string(),
  contains: z.array(z.enum(CHEMISTRY)),
  ph: z.enum(['acid', 'neutral', 'alkaline']).optional(),
  /** Baths of one family follow each other without a rinse. */
  family: z.string().optional(),
  strength: quantity('fraction').optional(),
});

export const stepShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  kind: z.enum(KINDS),
  why: z.string(),
  bath,
  /** [K] */
  temperature: range('temperature').optional(),
  /** [s] */
  time: range('time').optional(),
  /** Current density [A/m2], a magnitude; the polarity is that of the part. */
  current: z
    .strictObject({
      polarity: z.enum(['anodic', 'cathodic']),
      from: quantity('currentDensity'),
      to: quantity('currentDensity'),
      cite: z.string().optional(),
    })
    .optional(),
  /** Set when the current is on before the part touches the liquid. */
  live: z.literal(true).optional(),
  rinse: z.enum(['none', 'one', 'two', 'long']).optional(),
  /** The test that ends the step, and its kind. */
  endsWhen: z.string(),
  test: z.enum(['looks', 'water-break', 'smut', 'clock', 'weight', 'charge', 'indicator']).optional(),
  /** Longest safe pause before the step [s]. */
  pauseBefore: quantity('time'),
  practice: z.string(),
  cite: z.string(),
  /** Surface the step leaves, where it lays metal. */
  leaves: z.string().optional(),
  metal: z.string().optional(),
  /** Surfaces it may be entered on with current. */
  covers: z.array(z.string()).optional(),
  /** Surfaces whose passive film it opens. */
  opens: z.array(z.string()).optional(),
  /** The metal ion is held by a complexant, so it settles without current only slowly. */
  complexed: z.literal(true).optional(),
  acidBath: z.literal(true).optional(),
  inefficient: z.string().optional(),
  /** May lie under another layer. */
  under: z.literal(true).optional(),
});
export type Step = z.infer<typeof stepShape>;

const limit = { why: z.string(), cite: z.string() };
export const surfaceShape = z.strictObject({
  id: z.string(),
  title: z.string(),
  potential: z.strictObject({ value: quantity('voltage'), cite: z.string() }),
  activeFor: z.strictObject({ value: quantity('time'), cite: z.string() }),
  attackedBy: z.partialRecord(z.enum(CHEMISTRY), z.string()).optional(),
  anodicLimit: z.strictObject({ value: quantity('time'), ...limit }).optional(),
  acid: z.strictObject({ limit: quantity('time'), strongest: quantity('fraction'), ...limit }).optional(),
  hydrogen: z.strictObject({ acidLimit: quantity('time'), ...limit }).optional(),
  porous: z.strictObject({ acidLimit: quantity('time'), ...limit }).optional(),
  film: z
    .strictObject({ opensWith: z.string().optional(), stopsDisplacement: z.boolean(), cite: z.string() })
    .optional(),
  heatLimit: z.strictObject({ value: quantity('temperature'), cite: z.string() }).optional(),
  /** An acid plating bath attacks it before metal covers it. */
  needsNeutralFirst: z.literal(true).optional(),
  /** Finishes that sink into it, so that a barrier must lie between. */
  diffusesInto: z.array(z.string()).optional(),
});
export type Surface = z.infer<typeof surfaceShape>;

const named = { id: z.string(), name: z.string(), names: z.array(z.string()) };

export const substrateShape = z.strictObject({
  ...named,
  cite: z.string(),
  /** Surface the route ends on; absent where the substrate is refused. */
  surface: z.string().optional(),
  /** What covers it when it arrives and is stripped on the way. */
  covered: z.string().optional(),
  route: z.array(z.string()).optional(),
  beforeSilver: z.record(z.string(), z.string()).optional(),
  after: z.array(z.string()).optional(),
  gentle: z.literal(true).optional(),
  practice: z.string().optional(),
  cautions: z.array(z.string()).optional(),
  refused: z.strictObject({ reason: z.string(), who: z.string(), practice: z.string() }).optional(),
});
export type Substrate = z.infer<typeof substrateShape>;

export const depositShape = z.strictObject({
  ...named,
  layers: z.array(z.string()).optional(),
  /** Steps of any route that this deposit wants in another form. */
  replaces: z.record(z.string(), z.string()).optional(),
  cautions: z.array(z.string()).optional(),
  refused: z.strictObject({ reason: z.string(), who: z.string(), instead: z.string() }).optional(),
});
export type Deposit = z.infer<typeof depositShape>;
