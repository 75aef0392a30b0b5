import { z } from 'zod';

/** The shapes that cross HTTP. Job documents and forecasts pass through as JSON; `job` reads and checks them. */

export const problem = z.object({
  code: z.string(),
  path: z.string(),
  message: z.string(),
  hint: z.string().optional(),
});
export const problems = z.object({ problems: z.array(problem) });

const time = z.number().describe('milliseconds since 1970');
const document = z.record(z.string(), z.unknown());
export const id = z.object({ id: z.uuid() });

export const part = z.object({
  id: z.string(),
  name: z.string(),
  fileName: z.string(),
  unit: z.string(),
  report: z.unknown(),
  created: time,
});
const unit = z.enum(['mm', 'cm', 'm', 'in']);
const name = z.string().trim().min(1).max(120);
export const partUpload = z.object({ name, fileName: z.string().min(1).max(255), unit });
export const partChange = z
  .object({ name: name.optional(), unit: unit.optional(), report: z.unknown() })
  .partial();

export const jobSummary = z.object({
  id: z.string(),
  name: z.string(),
  version: z.number(),
  created: time,
  changed: time,
});
export const job = jobSummary.extend({ document, canUndo: z.boolean(), canRedo: z.boolean() });
export const jobCreate = z.object({ document });
export const jobSave = z.object({ base: z.number().int().describe('the version that was edited'), document });
export const history = z.array(z.object({ version: z.number(), parent: z.number().nullable(), saved: time }));

export const forecast = z.object({
  jobVersion: z.number(),
  quality: z.string(),
  result: z.unknown(),
  made: time,
});
export const forecastPut = z.object({
  quality: z.enum(['draft', 'standard', 'fine']),
  result: z.record(z.string(), z.unknown()),
});

export const shelfItem = z.object({
  id: z.string(),
  kind: z.string(),
  name: z.string(),
  document: z.unknown(),
  created: time,
});
export const shelfAdd = z.object({
  kind: z.enum(['vessel', 'bath', 'anode', 'supply', 'hook']),
  name,
  document,
});

export const settings = z.record(z.string(), z.unknown());
export const setting = z.object({ value: z.union([z.string(), z.number(), z.boolean()]) });
