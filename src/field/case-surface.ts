import type { PanelSurface } from '../geometry/index.js';
import type { Problem } from '../units/index.js';

/** Triangles as given, with the name of a patch each. */
export interface NamedTriangles {
  vertices: Float64Array;
  triangles: Int32Array;
  patch: string[];
}

/** Where a field case keeps its surface. */
export type SurfaceSource =
  | { kind: 'triangles'; surface: NamedTriangles }
  | { kind: 'file'; file: string }
  | { kind: 'bodies' };

export type Json = Record<string, unknown>;

export const isObject = (v: unknown): v is Json => typeof v === 'object' && v !== null && !Array.isArray(v);

/** Looks where the surface is, and reads it when it is in the case itself. */
export function surfaceSource(input: unknown, problems: Problem[]): SurfaceSource | null {
  if (!isObject(input)) {
    problems.push({ code: 'not-an-object', path: '', message: 'A field case is one JSON object in braces.' });
    return null;
  }
  if (input.bodies !== undefined) return { kind: 'bodies' };
  const { surface } = input;
  if (!isObject(surface)) {
    problems.push({
      code: 'surface-missing',
      path: 'surface',
      message: 'The case has no surface.',
      hint: 'Give "surface": {"vertices": ..., "triangles": ..., "patch": ...} or {"file": "x.obj"}.',
    });
    return null;
  }
  if (typeof surface.file === 'string') return { kind: 'file', file: surface.file };
  const read = readTriangles(surface, problems);
  return read ? { kind: 'triangles', surface: read } : null;
}

/** Stop listing after this many problems of one kind: a broken mesh has thousands. */
const LISTED = 5;

function readTriangles(surface: Json, problems: Problem[]): NamedTriangles | null {
  const before = problems.length;
  const { vertices, triangles, patch } = surface;
  for (const [name, list] of Object.entries({ vertices, triangles, patch }))
    if (!Array.isArray(list) || list.length === 0)
      problems.push({
        code: 'surface-incomplete',
        path: `surface.${name}`,
        message: `surface.${name} should be a list that is not empty; it is ${list === undefined ? 'missing' : JSON.stringify(list).slice(0, 40)}.`,
      });
  if (problems.length > before) return null;
  const points = vertices as unknown[];
  const faces = triangles as unknown[];
  const names = patch as unknown[];
  if (names.length !== faces.length)
    problems.push({
      code: 'patch-count',
      path: 'surface.patch',
      message: `There are ${faces.length} triangles but ${names.length} patch names; each triangle needs one.`,
    });
  const out: NamedTriangles = {
    vertices: new Float64Array(3 * points.length),
    triangles: new Int32Array(3 * faces.length),
    patch: names.map(String),
  };
  const triple = (v: unknown): v is number[] => Array.isArray(v) && v.length === 3;
  listFew(points, problems, (point, i) => {
    if (triple(point) && point.every((x) => typeof x === 'number' && Number.isFinite(x))) {
      out.vertices.set(point, 3 * i);
      return null;
    }
    return {
      code: 'vertex-not-finite',
      path: `surface.vertices[${i}]`,
      message: `A vertex is three finite numbers in metres; this one is ${JSON.stringify(point)?.slice(0, 60)}.`,
    };
  });
  listFew(faces, problems, (face, i) => {
    const whole = triple(face) && face.every((k) => Number.isInteger(k) && k >= 0 && k < points.length);
    if (whole) {
      out.triangles.set(face as number[], 3 * i);
      return null;
    }
    return {
      code: 'index-out-of-range',
      path: `surface.triangles[${i}]`,
      message: `A triangle is three vertex numbers from 0 to ${points.length - 1}; this one is ${JSON.stringify(face)?.slice(0, 60)}.`,
    };
  });
  listFew(names, problems, (name, i) =>
    typeof name === 'string' && name !== ''
      ? null
      : {
          code: 'patch-name',
          path: `surface.patch[${i}]`,
          message: `A patch name is text; this one is ${JSON.stringify(name)?.slice(0, 40) ?? 'missing'}.`,
        },
  );
  return problems.length > before ? null : out;
}

function listFew<T>(
  list: readonly T[],
  problems: Problem[],
  check: (item: T, i: number) => Problem | null,
): void {
  let found = 0;
  list.forEach((item, i) => {
    const problem = check(item, i);
    if (problem && ++found <= LISTED) problems.push(problem);
  });
  if (found > LISTED)
    problems[problems.length - 1].message += ` (${found - LISTED} more like it are not listed.)`;
}

/** Plane panels over the triangles; slivers without area are left out, a triangle given twice is refused. */
export function flatPanels(
  { vertices, triangles, patch }: NamedTriangles,
  names: readonly string[],
  problems: Problem[],
  warnings: Problem[],
): PanelSurface | null {
  const vertexCount = vertices.length / 3;
  const nodes: number[] = Array.from(vertices);
  const middle = new Map<number, number>();
  const mid = (a: number, b: number): number => {
    const key = a < b ? a * vertexCount + b : b * vertexCount + a;
    const known = middle.get(key);
    if (known !== undefined) return known;
    const number = nodes.length / 3;
    for (let d = 0; d < 3; d++) nodes.push(0.5 * (vertices[3 * a + d] + vertices[3 * b + d]));
    middle.set(key, number);
    return number;
  };
  const panels: number[] = [];
  const ofPanel: number[] = [];
  const seen = new Map<string, number>();
  let empty = 0;
  for (let t = 0; t < patch.length; t++) {
    const [a, b, c] = triangles.subarray(3 * t, 3 * t + 3);
    if (!hasArea(vertices, a, b, c)) {
      empty++;
      continue;
    }
    const key = [a, b, c].sort((x, y) => x - y).join();
    const twin = seen.get(key);
    if (twin !== undefined && problems.length < LISTED)
      problems.push({
        code: 'triangle-twice',
        path: `surface.triangles[${t}]`,
        message: `This triangle has the same corners as triangle ${twin}.`,
        hint: 'Remove one; a surface may not lie on itself.',
      });
    seen.set(key, t);
    panels.push(a, b, c, mid(a, b), mid(b, c), mid(c, a));
    ofPanel.push(names.indexOf(patch[t]));
  }
  if (empty > 0)
    warnings.push({
      code: 'triangle-without-area',
      path: 'surface.triangles',
      message: `${empty} triangles have no area and were left out.`,
    });
  if (ofPanel.length === 0) {
    problems.push({
      code: 'surface-empty',
      path: 'surface',
      message: 'No triangle of the surface has any area.',
    });
    return null;
  }
  return {
    nodes: Float64Array.from(nodes),
    panels: Int32Array.from(panels),
    patch: Int32Array.from(ofPanel),
    body: new Int32Array(ofPanel.length),
    patchNames: [...names],
  };
}

/** Twice the area against the longest side squared: below rounding there is no triangle. */
function hasArea(v: Float64Array, a: number, b: number, c: number): boolean {
  const p = [0, 1, 2].map((d) => v[3 * b + d] - v[3 * a + d]);
  const q = [0, 1, 2].map((d) => v[3 * c + d] - v[3 * a + d]);
  const cross = Math.hypot(p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]);
  const longest = Math.max(Math.hypot(...p), Math.hypot(...q), Math.hypot(...p.map((x, d) => x - q[d])));
  return cross > 1e-10 * longest * longest;
}
