import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { cancelled, type MeshReading, Numbers, type ReadContext, tooManyTriangles } from './file.js';
import { numberAt, textOf, Words } from './text.js';
import { unitInWords } from './unit.js';

/**
 * STL, binary and ASCII. The traps: binary files whose header begins with `solid`, facet counts that lie either way,
 * bytes after the last facet, bare carriage returns, decimal commas, several solids in one file, NaN coordinates.
 * Stored normals are ignored; the winding counts.
 */
export function readStl(context: ReadContext): Outcome<MeshReading> {
  const { bytes } = context.file;
  return looksAscii(bytes) ? readAscii(context) : readBinary(context);
}

const HEADER = 84;
const RECORD = 50;

function looksAscii(bytes: Uint8Array): boolean {
  if (bytes.length >= HEADER && bytes.length === HEADER + RECORD * countOf(bytes)) return false;
  const head = textOf(bytes, 0, Math.min(bytes.length, 2000)).toLowerCase();
  if (!/^[\s\u00bb\u00bf\u00ef]*(solid|facet)/.test(head)) return false;
  // A binary file holds zero bytes within its first records; text never does.
  return !head.includes('\0') && (/facet|endsolid|vertex/.test(head) || bytes.length < HEADER);
}

const countOf = (bytes: Uint8Array): number =>
  new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);

function readBinary({ file, limits, watch }: ReadContext): Outcome<MeshReading> {
  const { bytes } = file;
  if (bytes.length < HEADER)
    return refused({
      code: 'file-cut-short',
      path: '',
      message: `The file has ${bytes.length} bytes; a binary STL has at least ${HEADER}.`,
      hint: 'Copy or export the file again.',
    });
  const stated = countOf(bytes);
  const present = (bytes.length - HEADER) / RECORD;
  const whole = Math.floor(present);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const warnings: Problem[] = [];
  let cutShort: Problem | undefined;
  let count = Math.min(stated, whole);
  if (stated > whole)
    cutShort = {
      code: 'file-cut-short',
      path: '',
      message: `The file announces ${stated} facets but holds ${whole}${present > whole ? ' and a piece of one' : ''}.`,
      hint: 'The file was probably cut off while it was copied or downloaded: fetch or export it again.',
    };
  else if (bytes.length > HEADER + RECORD * stated) {
    if (whole > stated && recordsMakeSense(view, stated, whole)) {
      count = whole;
      warnings.push({
        code: 'facet-count-wrong',
        path: '',
        message: `The file announces ${stated} facets but holds ${whole}; all of them were read.`,
      });
    } else
      warnings.push({
        code: 'trailing-bytes',
        path: '',
        message: `${bytes.length - HEADER - RECORD * stated} bytes after the last facet were ignored.`,
      });
  }
  if (count === 0) return refused(cutShort ?? noFacets());
  if (count > limits.triangles) return refused(tooManyTriangles(count, limits));
  const vertices = new Float64Array(9 * count);
  for (let t = 0, v = 0; t < count; t++) {
    if ((t & 0xffff) === 0) {
      if (watch.cancelled()) return refused(cancelled);
      watch.report(t / count, 'reading facets');
    }
    for (let k = 0, at = HEADER + RECORD * t + 12; k < 9; k++, at += 4)
      vertices[v++] = view.getFloat32(at, true);
  }
  const unit = unitInWords(textOf(bytes, 0, 80));
  return done({
    format: 'stl',
    vertices,
    triangles: Uint32Array.from({ length: 3 * count }, (_, i) => i),
    group: new Int32Array(count),
    groupNames: ['part'],
    ...(unit && { unit }),
    dropped: [],
    warnings,
    ...(cutShort && { cutShort }),
  });
}

/** Are the records beyond the stated count facets, not padding? Finite, and within ten times the size of the first. */
function recordsMakeSense(view: DataView, stated: number, whole: number): boolean {
  const sizeOf = (from: number, to: number): number => {
    let size = 0;
    for (let t = from; t < to; t++)
      for (let k = 0; k < 9; k++) {
        const x = Math.abs(view.getFloat32(HEADER + RECORD * t + 12 + 4 * k, true));
        if (!(x <= size)) size = x;
      }
    return size;
  };
  const extra = sizeOf(stated, whole);
  if (!Number.isFinite(extra) || extra === 0) return false;
  const first = sizeOf(0, stated);
  return !(first > 0) || extra <= 10 * first;
}

const noFacets = (): Problem => ({
  code: 'no-triangles',
  path: '',
  message: 'The STL file has no facets.',
  hint: 'Export the part again; check that the body was selected.',
});

function readAscii({ file, limits, watch }: ReadContext): Outcome<MeshReading> {
  const { bytes } = file;
  const words = new Words(bytes);
  const vertices = new Numbers();
  const group = new Numbers();
  const groupNames: string[] = [];
  const loop: number[] = [];
  const state = { commas: 0, unreadable: 0, ended: false, odd: 0, comment: '' };
  let facets = 0;
  const closeLoop = (): void => {
    // Some writers put a quadrilateral into one loop; STL says triangles, so a fan of a convex face is right.
    const corners = loop.length / 3;
    if (corners > 0 && corners < 3) state.odd++;
    for (let k = 1; k + 1 < corners; k++) {
      for (const c of [0, k, k + 1]) for (let x = 0; x < 3; x++) vertices.push(loop[3 * c + x]!);
      group.push(Math.max(0, groupNames.length - 1));
      facets++;
    }
    loop.length = 0;
  };
  let steps = 0;
  while (words.next()) {
    if ((++steps & 0xffff) === 0) {
      if (watch.cancelled()) return refused(cancelled);
      if (facets > limits.triangles) return refused(tooManyTriangles(facets, limits));
      watch.report(words.offset / bytes.length, 'reading facets');
    }
    if (words.is('vertex')) readVertex(words, loop, state);
    else if (words.is('endloop') || words.is('endfacet') || words.is('facet')) closeLoop();
    else if (words.is('solid')) {
      const name = solidName(words);
      state.comment += ` ${name}`;
      groupNames.push(name || `solid ${groupNames.length + 1}`);
      state.ended = false;
    } else if (words.is('endsolid')) {
      words.restOfLine();
      closeLoop();
      state.ended = true;
    }
  }
  closeLoop();
  if (facets === 0) return refused(noFacets());
  if (facets > limits.triangles) return refused(tooManyTriangles(facets, limits));
  const unit = unitInWords(state.comment);
  const warnings: Problem[] = [];
  if (state.commas)
    warnings.push({
      code: 'decimal-comma',
      path: '',
      message: `${state.commas} numbers are written with a decimal comma and were read so.`,
    });
  if (state.unreadable)
    warnings.push({
      code: 'unreadable-numbers',
      path: '',
      message: `${state.unreadable} coordinates are not numbers; the facets that use them were left out.`,
    });
  return done({
    format: 'stl',
    vertices: vertices.floats(),
    triangles: Uint32Array.from({ length: 3 * facets }, (_, i) => i),
    group: group.integers(),
    groupNames: groupNames.length ? groupNames : ['part'],
    ...(unit && { unit }),
    dropped: state.odd ? [{ kind: 'incomplete-faces', count: state.odd }] : [],
    warnings,
    ...(!state.ended && {
      cutShort: {
        code: 'file-cut-short',
        path: '',
        message: `The file stops after ${facets} facets without its closing line "endsolid".`,
        hint: 'The file was probably cut off while it was copied or downloaded: fetch or export it again.',
      },
    }),
  });
}

/** A solid's name ends with its line, or, where the whole file is one line, before the first `facet normal`. */
function solidName(words: Words): string {
  const start = words.offset;
  let last = start;
  while (words.next(true)) {
    if (words.is('facet')) {
      const before = words.start;
      if (words.next(true) && words.is('normal')) {
        words.offset = before;
        return textOf(words.bytes, start, Math.min(last, start + 200)).trim();
      }
    }
    last = words.end;
  }
  return textOf(words.bytes, start, Math.min(last, start + 200)).trim();
}

/** Three coordinates after `vertex`: `1.5 2 3`, `1,5 2,0 3,0` (decimal comma) or `1.5,2,3` (commas between). */
function readVertex(words: Words, loop: number[], state: { commas: number; unreadable: number }): void {
  let found = 0;
  while (found < 3 && words.next(true)) {
    const { bytes, start } = words;
    let end = words.end;
    if (bytes[end - 1] === 44) end--;
    let commas = 0;
    for (let i = start; i < end; i++) if (bytes[i] === 44) commas++;
    if (commas >= 2) {
      for (let from = start; from <= end && found < 3; found++) {
        let to = from;
        while (to < end && bytes[to] !== 44) to++;
        loop.push(check(numberAt(bytes, from, to)));
        from = to + 1;
      }
      continue;
    }
    if (commas === 1) state.commas++;
    loop.push(check(numberAt(bytes, start, end)));
    found++;
  }
  for (; found < 3; found++) loop.push(check(Number.NaN));
  function check(value: number): number {
    if (Number.isNaN(value)) state.unreadable++;
    return value;
  }
}
