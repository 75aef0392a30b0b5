import { z } from 'zod';

/** Computes the value of each case id. A study may compute several cases from one solve by caching it. */
export type Study = Record<string, () => number | Promise<number>>;

const KINDS = [
  'closed-form',
  'order',
  'identity',
  'table',
  'figure',
  'other-program',
  'common-practice',
  'pinned',
] as const;

const caseShape = z
  .strictObject({
    id: z.string(),
    quantity: z.string(),
    kind: z.enum(KINDS),
    expected: z.number().optional(),
    above: z.number().positive().optional(),
    tolerance: z.number().positive().optional(),
    absolute: z.number().positive().optional(),
    because: z.string(),
    source: z.string(),
    slow: z.boolean().optional(),
  })
  .refine((c) => (c.expected === undefined) !== (c.above === undefined), 'one of expected and above')
  .refine(
    (c) => c.above !== undefined || c.tolerance !== undefined || c.absolute !== undefined,
    'a tolerance',
  )
  .refine(
    (c) => c.expected !== 0 || c.absolute !== undefined,
    'an absolute tolerance where zero is expected',
  );

/** The shape of a case file. */
export const fileShape = z.strictObject({
  title: z.string(),
  why: z.string(),
  cases: z.array(caseShape).min(1),
});

export type OutsideCase = z.infer<typeof caseShape>;

export interface CaseResult {
  id: string;
  quantity: string;
  kind: string;
  expected: number;
  got: number;
  relativeError: number;
  tolerance: number;
  passed: boolean;
  source: string;
  /** Why it failed, if not by its number: it threw, or it could not have failed. */
  remark?: string;
}

/** Whether a value agrees with a case, optionally after the expectation was moved by `shift` tolerances. */
export function agrees(c: OutsideCase, got: number, shift = 0): boolean {
  if (!Number.isFinite(got)) return false;
  if (c.above !== undefined) return (shift === 0 ? got : 1 / got) > c.above;
  const width = c.absolute ?? c.tolerance! * Math.abs(c.expected!);
  return Math.abs(got - (c.expected! + shift * width)) <= width;
}

/** Runs one case and makes sure that it could have failed. */
export async function runCase(prefix: string, c: OutsideCase, study: Study): Promise<CaseResult> {
  const expected = c.expected ?? c.above!;
  const result = {
    id: `${prefix}/${c.id}`,
    quantity: c.quantity,
    kind: c.kind,
    expected,
    tolerance:
      c.tolerance ?? (c.absolute !== undefined && expected !== 0 ? c.absolute / Math.abs(expected) : 0),
    source: c.source,
  };
  const compute = study[c.id];
  if (!compute)
    return {
      ...result,
      got: Number.NaN,
      relativeError: Number.NaN,
      passed: false,
      remark: 'no study computes it',
    };
  try {
    const got = await compute();
    const relativeError = expected === 0 ? got : (got - expected) / Math.abs(expected);
    const passed = agrees(c, got);
    const vacuous = passed && (agrees(c, got, 3) || agrees(c, got, -3));
    return {
      ...result,
      got,
      relativeError,
      passed: passed && !vacuous,
      ...(vacuous ? { remark: 'passes for a wrong expectation too' } : {}),
    };
  } catch (error) {
    const remark = error instanceof Error ? error.message : String(error);
    return { ...result, got: Number.NaN, relativeError: Number.NaN, passed: false, remark };
  }
}
