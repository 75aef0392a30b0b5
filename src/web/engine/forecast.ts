import type { Crew } from '../../field/index.js';
import { type Booleans, loadBooleans, type TriangleMesh } from '../../geometry/index.js';
import { bathWords, type Job, type JobResult, runForecast } from '../../job/index.js';
import type { Library } from '../../library/index.js';
import type { Watch } from '../../numerics/index.js';
import { done, type Outcome } from '../../units/index.js';
import { startCrew } from '../crew.js';
import type { ForecastAnswer } from './messages.js';

let booleans: Promise<Booleans> | undefined;
let crew: Crew | undefined;

/** Starts what takes a moment to load, while the worker is idle: the booleans, and threads for the far field. */
export function warmUp(): void {
  booleans ??= loadBooleans();
  crew ??= startCrew();
}

/** The one call into the job layer: the same forecast as in the terminal, here in a worker of the page. */
export async function forecastOf(
  job: Job,
  meshes: ReadonlyMap<string, TriangleMesh>,
  library: Library,
  bands: boolean,
  watch: Watch,
): Promise<Outcome<ForecastAnswer>> {
  warmUp();
  const context = { library, meshes, booleans: await booleans!, crew: crew! };
  const previous = kept;
  kept = undefined;
  const made = await runForecast(job, context, watch, { bands, ...(previous && { previous }) });
  if (!made.ok) return made;
  const { forecast, map, bodies } = made.value;
  kept = made.value.kept;
  return done({ forecast, map, bodies, bath: bathWords(job, library), banded: bands }, made.warnings);
}

/** The draft set-up of the last forecast: when only an anode moved, only that is cut and summed again. */
let kept: JobResult['kept'] | undefined;
