import { z } from 'zod';
import { type Dimension, isDimension } from '../units/index.js';

/**
 * One sourced number. Written in YAML under `library/`; the as-printed text and the SI value must agree, which a test
 * holds for every record, so a slip of the pen in either cannot pass.
 */

const kinds = ['measured', 'fitted', 'estimated', 'assumed', 'recommended'] as const;

/**
 * The one way a record states its 90 % interval: `plusMinus` is a step either way in a unit of the quantity (normal),
 * `factor` divides and multiplies the value (lognormal), `exact` is for definitions.
 */
const uncertainty = z.union([
  z.strictObject({ plusMinus: z.string() }),
  z.strictObject({ factor: z.number().gt(1) }),
  z.strictObject({ exact: z.literal(true) }),
]);

/** Conditions a record may hold at, and ranges it is good for, with the dimension each is written in. */
export const CONDITIONS = {
  temperature: 'temperature',
  pH: 'pH',
  concentration: 'amountConcentration',
  chloride: 'amountConcentration',
  acid: 'amountConcentration',
  currentDensity: 'currentDensity',
  ionicStrength: 'amountConcentration',
} as const satisfies Record<string, Dimension>;
export type Condition = keyof typeof CONDITIONS;
const condition = z.enum(Object.keys(CONDITIONS) as [Condition, ...Condition[]]);

const provenance = {
  /** Unique in the whole library, lower case with dots, e.g. `ni.density`. */
  id: z.string().regex(/^[a-z0-9+-]+(\.[a-z0-9+-]+)*$/),
  /** What it is, in a few words. */
  of: z.string().optional(),
  quantity: z.string().refine(isDimension, 'no such quantity'),
  /** As the source prints it, with its unit. */
  printed: z.string(),
  /** SI unit of the value. */
  unit: z.string(),
  /** Key in sources.yaml, and the place in it (page, table, equation). */
  source: z.string(),
  place: z.string().optional(),
  kind: z.enum(kinds),
  /** Nobody of the project has seen the page: it counts as assumed until someone has. */
  memory: z.literal(true).optional(),
  /** Conditions the value holds at. */
  at: z.partialRecord(condition, z.string()).optional(),
  /** Where it may be used; a computation outside says so. */
  range: z.partialRecord(condition, z.tuple([z.string(), z.string()])).optional(),
  note: z.string().optional(),
};

export const valueRecord = z.strictObject({ ...provenance, value: z.number(), uncertainty });

/** A span that a source allows or recommends, with the value to start from when none is given. */
export const windowRecord = z.strictObject({
  ...provenance,
  low: z.number(),
  high: z.number(),
  typical: z.number().optional(),
});

/** One quantity, or several disagreeing records and the reason for the one taken by default. */
export const choice = z.union([
  valueRecord,
  z.strictObject({
    use: z.string(),
    because: z.string(),
    records: z.array(valueRecord).min(2),
  }),
]);

export type ValueRecord = z.infer<typeof valueRecord>;
export type WindowRecord = z.infer<typeof windowRecord>;
export type AnyRecord = ValueRecord | WindowRecord;
export type Choice = z.infer<typeof choice>;
export type RecordKind = (typeof kinds)[number];

/** The record a choice takes by default. */
export const chosen = (c: Choice): ValueRecord =>
  'records' in c ? c.records.find((r) => r.id === c.use)! : c;

/** What a reader may trust it as: a value from memory is assumed, whatever its origin. */
export const effectiveKind = (record: AnyRecord): RecordKind => (record.memory ? 'assumed' : record.kind);
