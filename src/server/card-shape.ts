import { z } from 'zod';

/** What the server checks of a card before setting it: enough that no text or number can upset the printer. */
const line = z.string().max(600);
const entry = z.object({ label: line, value: line });
const problem = z.object({ code: line, path: line, message: line, hint: line.optional() });
const printed = z.object({ number: z.string().max(40), unit: z.string().max(20) });
const points = z.array(z.number().gt(-2000).lt(2000)).min(4).max(400);
const colour = z.string().regex(/^#[0-9a-f]{6}$/i);

const item = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('area'),
    points,
    fill: z.union([colour, z.object({ pattern: z.enum(['burnt', 'bare']) })]),
    opacity: z.number().min(0).max(1).optional(),
    seam: z.boolean().optional(),
  }),
  z.object({
    kind: z.literal('line'),
    points,
    stroke: colour,
    width: z.number().positive().max(10),
    closed: z.boolean().optional(),
    dash: z.number().positive().max(20).optional(),
  }),
  z.object({
    kind: z.literal('text'),
    x: z.number(),
    y: z.number(),
    text: line,
    size: z.number().positive().max(40),
    anchor: z.enum(['start', 'middle', 'end']),
    bold: z.boolean().optional(),
    colour: colour.optional(),
  }),
]);

const drawing = z.object({
  width: z.number().positive().max(300),
  height: z.number().positive().max(300),
  title: line,
  items: z.array(item).max(60_000),
});

const few = <T extends z.ZodType>(of: T) => z.array(of).max(60);

export const cardShape = z.object({
  title: line,
  subtitle: line,
  refusals: few(problem),
  settings: few(z.object({ label: line, value: printed, note: line })),
  stop: line,
  watch: z.object({ rows: few(z.object({ at: line, expected: line })), remarks: few(line) }),
  cautions: few(z.object({ title: line, text: line })),
  setup: few(entry),
  significant: line,
  drawings: z.object({ setup: drawing, front: drawing, back: drawing, legend: drawing }).partial(),
  marks: few(entry),
  warnings: few(problem),
  blanks: few(entry),
  colophon: line,
});
