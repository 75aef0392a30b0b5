import { readFileSync } from 'node:fs';
import { loadBooleans } from '../../src/geometry/index.js';
import { type JobContext, type JobResult, readJob, runForecast } from '../../src/job/index.js';
import { type LibraryFile, loadLibrary } from '../../src/library/index.js';
import { UNWATCHED } from '../../src/numerics/index.js';

/** Fields of a job file that replace those of a base job. */
export type JobEdit = Record<string, unknown>;

let context: Promise<JobContext> | undefined;

async function loadContext(): Promise<JobContext> {
  const file = new URL('../../library.json', import.meta.url);
  const library = loadLibrary(JSON.parse(readFileSync(file, 'utf8')) as LibraryFile[]);
  if (!library.ok) throw new Error(library.problems[0]!.message);
  return { library: library.value, meshes: new Map(), booleans: await loadBooleans() };
}

/** Runs a job written as in a file, without bands; a refusal is a failure of the case and says why. */
export async function forecastOf(document: unknown): Promise<JobResult> {
  context ??= loadContext();
  const job = readJob(document);
  if (!job.ok) throw new Error(job.problems.map((p) => `${p.path}: ${p.message}`).join(' '));
  const result = await runForecast(job.value, await context, UNWATCHED, { bands: false });
  if (!result.ok) throw new Error(result.problems.map((p) => `${p.path}: ${p.message}`).join(' '));
  return result.value;
}
