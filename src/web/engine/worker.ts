import { boundsOf, importPart, measure, type TriangleMesh } from '../../geometry/index.js';
import { readJob } from '../../job/index.js';
import { type Library, loadLibrary } from '../../library/index.js';
import type { Watch } from '../../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { forecastOf, warmUp } from './forecast.js';
import type { Answer, PartReport, PartSource, Request } from './messages.js';
import { previewOf } from './preview.js';

/**
 * The computing side of the page: reads part files, shows set-ups, makes forecasts. Everything happens on this machine,
 * in this worker; the page stays free to draw.
 */
let library: Library | undefined;
const meshes = new Map<string, { mesh: TriangleMesh; report: PartReport }>();

const post = (answer: Answer, transfer: Transferable[] = []) => self.postMessage(answer, { transfer });

self.addEventListener('message', async ({ data }: MessageEvent<Request>) => {
  try {
    const outcome = await answer(data);
    if (outcome.ok)
      post(
        { id: data.id, say: 'done', value: outcome.value, warnings: outcome.warnings },
        buffersIn(outcome.value),
      );
    else post({ id: data.id, say: 'refused', problems: outcome.problems });
  } catch (error) {
    const message = error instanceof Error ? `${error.message}\n${error.stack ?? ''}` : String(error);
    post({ id: data.id, say: 'bug', message });
  }
});

async function answer(request: Request): Promise<Outcome<unknown>> {
  switch (request.ask) {
    case 'library': {
      const loaded = loadLibrary(request.files);
      if (loaded.ok) library = loaded.value;
      warmUp();
      return loaded.ok ? done(null) : loaded;
    }
    case 'read': {
      const read = await partOf(request.part, watchOf(request.id));
      return read.ok ? done(read.value.report, read.value.report.warnings) : read;
    }
    case 'preview': {
      const job = readJob(request.job);
      const files = await filesOf(request.parts, watchOf(request.id));
      if (!job.ok) return job;
      return files.ok ? previewOf(job.value, files.value) : files;
    }
    case 'forecast': {
      const job = readJob(request.job);
      const watch = watchOf(request.id, request.stop);
      const files = await filesOf(request.parts, watch);
      if (!job.ok) return job;
      if (!files.ok) return files;
      if (!library)
        return refused({ code: 'no-library', path: '', message: 'The library of records is not there.' });
      return forecastOf(
        { ...job.value, quality: request.quality },
        files.value,
        library,
        request.bands,
        watch,
      );
    }
  }
}

/** Progress at most every 50 ms; stop when the shared byte says so. */
function watchOf(id: number, stop?: SharedArrayBuffer): Watch {
  const flag = stop && new Uint8Array(stop);
  let last = 0;
  return {
    report(fraction, stage) {
      const now = performance.now();
      if (now - last < 50 && fraction < 1) return;
      last = now;
      post({ id, say: 'progress', fraction, stage });
    },
    cancelled: () => flag !== undefined && Atomics.load(flag, 0) === 1,
  };
}

async function filesOf(parts: PartSource[], watch: Watch): Promise<Outcome<Map<string, TriangleMesh>>> {
  const out = new Map<string, TriangleMesh>();
  const problems: Problem[] = [];
  for (const part of parts) {
    const read = await partOf(part, watch);
    if (read.ok) out.set(part.name, read.value.mesh);
    else problems.push(...read.problems);
  }
  return problems.length ? refused(...problems) : done(out);
}

/** Reads a file once; its middle becomes the origin, so that "position" means where the middle hangs. */
async function partOf(
  part: PartSource,
  watch: Watch,
): Promise<Outcome<{ mesh: TriangleMesh; report: PartReport }>> {
  const key = `${part.name} ${part.unit ?? ''} ${part.bytes.byteLength}`;
  const known = meshes.get(key);
  if (known) return done(known);
  const read = await importPart(
    { name: part.name, bytes: new Uint8Array(part.bytes) },
    { watch, ...(part.unit ? { unit: part.unit } : {}) },
  );
  if (!read.ok) return read;
  const { mesh, closed, bodies, repairs, unit } = read.value;
  const { area, volume, bounds } = measure(mesh);
  const middle = bounds.min.map((low, k) => (low + bounds.max[k]!) / 2);
  const centred = { ...mesh, vertices: mesh.vertices.map((x, i) => x - middle[i % 3]!) };
  const size = boundsOf(centred).max.map((x) => 2 * x) as [number, number, number];
  const report: PartReport = {
    triangles: mesh.triangles.length / 3,
    area,
    volume,
    size,
    closed,
    bodies,
    repairs,
    unit: { unit: unit.unit, reason: unit.reason, saidBy: unit.saidBy },
    warnings: read.warnings,
  };
  const entry = { mesh: centred, report };
  meshes.set(key, entry);
  return done(entry);
}

/** Buffers of the typed arrays in an answer; they move to the page. */
function buffersIn(value: unknown, found = new Set<ArrayBuffer>()): ArrayBuffer[] {
  if (ArrayBuffer.isView(value)) {
    if (value.buffer instanceof ArrayBuffer && value.byteLength === value.buffer.byteLength)
      found.add(value.buffer);
  } else if (Array.isArray(value)) {
    for (const entry of value) if (typeof entry === 'object') buffersIn(entry, found);
  } else if (typeof value === 'object' && value !== null)
    for (const entry of Object.values(value)) buffersIn(entry, found);
  return [...found];
}
