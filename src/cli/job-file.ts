import { readFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import { isMap, isSeq, LineCounter, parseDocument } from 'yaml';
import { importPart, type TriangleMesh, unusableAsSolid } from '../geometry/index.js';
import { type Job, readJob } from '../job/index.js';
import type { Watch } from '../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import { openPartFile } from './part-file.js';

export interface OpenedJob {
  job: Job;
  /** Part files the job names, read and repaired. */
  meshes: Map<string, TriangleMesh>;
}

/** A problem of the file with the line it is on and a caret under it, for the terminal. */
export type Shown = Problem & { excerpt?: string };

/** Reads a job file (YAML or JSON) and every part file it names, relative to the job file. */
export async function openJob(path: string, watch: Watch): Promise<Outcome<OpenedJob> & { shown?: Shown[] }> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    return refused({
      code: 'file-unreadable',
      path,
      message: `The job file ${path} could not be read: ${(error as NodeJS.ErrnoException).code ?? String(error)}.`,
      hint: 'Check the name and the folder.',
    });
  }
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false });
  if (document.errors.length)
    return located(
      document.errors.map((e) => ({ code: 'not-yaml', path: '', message: e.message, at: e.pos[0] })),
      text,
      lines,
    );
  const read = readJob(document.toJS());
  if (!read.ok)
    return located(
      read.problems.map((p) => ({ ...p, at: offsetOf(document, p.path) })),
      text,
      lines,
    );
  const meshes = await readMeshes(read.value, dirname(resolve(path)), watch);
  return meshes.ok ? done({ job: read.value, meshes: meshes.value }, meshes.warnings) : meshes;
}

async function readMeshes(
  job: Job,
  folder: string,
  watch: Watch,
): Promise<Outcome<Map<string, TriangleMesh>>> {
  const meshes = new Map<string, TriangleMesh>();
  const problems: Problem[] = [];
  const warnings: Problem[] = [];
  const bodies = [
    ['part', job.part.solid] as const,
    ...(['anodes', 'shields', 'robbers'] as const).flatMap((list) =>
      job[list].map((body, i) => [`${list}[${i}]`, body.solid] as const),
    ),
  ];
  for (const [where, solid] of bodies) {
    if (!('file' in solid) || meshes.has(solid.file)) continue;
    const file = await openPartFile(resolve(folder, solid.file));
    const part = file.ok
      ? await importPart(file.value, { ...(solid.unit && { unit: solid.unit }), watch })
      : file;
    const placed = (p: Problem): Problem => ({ ...p, path: `${where}.solid.file` });
    if (!part.ok) problems.push(...part.problems.map(placed));
    else {
      warnings.push(...part.warnings.map(placed));
      problems.push(...unusableAsSolid(part.value, `${where}.solid.file`));
      meshes.set(solid.file, part.value.mesh);
    }
  }
  return problems.length ? refused(...problems) : done(meshes, warnings);
}

/** Where in the text a path like `anodes[0].metal` stands: the deepest node of it that exists. */
function offsetOf(document: ReturnType<typeof parseDocument>, path: string): number | undefined {
  let node: unknown = document.contents;
  let at: number | undefined;
  for (const key of path.match(/[^.[\]]+/g) ?? []) {
    if (isMap(node)) {
      const pair = node.items.find((item) => String(item.key) === key);
      if (!pair) break;
      at = (pair.key as { range?: [number, number, number] }).range?.[0] ?? at;
      node = pair.value;
    } else if (isSeq(node)) node = node.items[Number(key)];
    else break;
    at = (node as { range?: [number, number, number] } | null)?.range?.[0] ?? at;
  }
  return at;
}

function located<T>(
  problems: (Problem & { at: number | undefined })[],
  text: string,
  lines: LineCounter,
): Outcome<T> & { shown: Shown[] } {
  const rows = text.split(/\r?\n/);
  const shown = problems.map(({ at, ...problem }): Shown => {
    if (at === undefined) return problem;
    const { line, col } = lines.linePos(at);
    const label = `${String(line).padStart(5)} | `;
    return { ...problem, excerpt: `${label}${rows[line - 1] ?? ''}\n${' '.repeat(label.length + col - 1)}^` };
  });
  const plain = problems.map(({ at: _, ...problem }) => problem);
  return { ok: false, problems: plain, shown };
}
