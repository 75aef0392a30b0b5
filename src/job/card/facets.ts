import type { ValueMesh } from './thin.js';

/** One flat triangle ready to be drawn: projected corners, depth of its middle, light on it, field values at corners. */
export interface Facet {
  /** x, y of three corners in projected lengths. */
  xy: number[];
  depth: number;
  /** Brightness in [0.8, 1]: light comes from the upper left. */
  light: number;
  facing: boolean;
  /** fields[f] = values at the three corners. */
  fields: number[][];
}

/** Unit normal (right, up, toward the eye) and twice the area of a projected triangle. */
function normal(p: Float64Array, a: number, b: number, c: number): [number, number, number] {
  const [ux, uy, uz] = [p[3 * b]! - p[3 * a]!, p[3 * b + 1]! - p[3 * a + 1]!, p[3 * b + 2]! - p[3 * a + 2]!];
  const [vx, vy, vz] = [p[3 * c]! - p[3 * a]!, p[3 * c + 1]! - p[3 * a + 1]!, p[3 * c + 2]! - p[3 * a + 2]!];
  const n: [number, number, number] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
  const size = Math.hypot(...n) || 1;
  return [n[0] / size, n[1] / size, n[2] / size];
}

const LIGHT = [-0.45, 0.62, 0.64] as const;

/**
 * Cuts a projected mesh into facets no longer than `longest`, so that sorting by depth of the middle shows the right one
 * in front. Large flat triangles are divided n by n; at most `limit` facets come of it.
 */
export function facets(mesh: ValueMesh, projected: Float64Array, longest: number, limit = 12_000): Facet[] {
  const out: Facet[] = [];
  const { triangles, fields } = mesh;
  const count = triangles.length / 3;
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!] as const;
    const n = normal(projected, ...corners);
    const point = (k: number) => [0, 1, 2].map((i) => projected[3 * corners[k]! + i]!);
    const [A, B, C] = [point(0), point(1), point(2)];
    const edge = Math.max(distance(A, B), distance(B, C), distance(C, A));
    const left = Math.max(1, (limit - out.length) / Math.max(1, count - t / 3));
    const cuts = Math.max(1, Math.min(24, Math.ceil(edge / longest), Math.floor(Math.sqrt(left))));
    const lambert = Math.max(0, Math.abs(n[0] * LIGHT[0] + n[1] * LIGHT[1] + Math.abs(n[2]) * LIGHT[2]));
    const light = 0.8 + 0.2 * Math.min(1, lambert);
    const at = (i: number, j: number) => [1 - (i + j) / cuts, i / cuts, j / cuts] as const;
    for (const w of weights(cuts, at)) {
      const mix = (values: readonly [number, number, number]) =>
        w.map((k) => k[0] * values[0] + k[1] * values[1] + k[2] * values[2]);
      const x = mix([A[0]!, B[0]!, C[0]!]);
      const y = mix([A[1]!, B[1]!, C[1]!]);
      const z = mix([A[2]!, B[2]!, C[2]!]);
      out.push({
        xy: [x[0]!, y[0]!, x[1]!, y[1]!, x[2]!, y[2]!],
        depth: (z[0]! + z[1]! + z[2]!) / 3,
        light,
        facing: n[2] >= 0,
        fields: fields.map((f) => mix([f[corners[0]]!, f[corners[1]]!, f[corners[2]]!])),
      });
    }
  }
  return out;
}

type Weight = readonly [number, number, number];

/** Corner weights of the n by n small triangles a triangle is divided into. */
function weights(n: number, at: (i: number, j: number) => Weight): Weight[][] {
  const out: Weight[][] = [];
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n - i; j++) {
      out.push([at(i, j), at(i + 1, j), at(i, j + 1)]);
      if (i + j < n - 1) out.push([at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)]);
    }
  return out;
}

const distance = (p: number[], q: number[]): number =>
  Math.hypot(p[0]! - q[0]!, p[1]! - q[1]!, p[2]! - q[2]!);

/** True when every edge has one triangle on each side, in opposite senses: then what faces away is hidden. */
export function isClosed(triangles: Uint32Array): boolean {
  const open = new Set<string>();
  for (let t = 0; t < triangles.length; t += 3)
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k]!, triangles[t + ((k + 1) % 3)]!];
      if (!open.delete(`${b} ${a}`)) {
        if (open.has(`${a} ${b}`)) return false;
        open.add(`${a} ${b}`);
      }
    }
  return open.size === 0;
}

/** Part of a triangle where a linear value lies in [low, high], as a ring of x, y; empty when there is none. */
export function slice(xy: number[], values: number[], low: number, high: number): number[] {
  let ring = [0, 1, 2].map((k) => [xy[2 * k]!, xy[2 * k + 1]!, values[k]!]);
  for (const keep of [(v: number) => v - low, (v: number) => high - v]) {
    const next: number[][] = [];
    for (let k = 0; k < ring.length; k++) {
      const [p, q] = [ring[k]!, ring[(k + 1) % ring.length]!];
      const [a, b] = [keep(p[2]!), keep(q[2]!)];
      if (a >= 0) next.push(p);
      if (a >= 0 !== b >= 0 && Number.isFinite(a) && Number.isFinite(b)) {
        const t = a / (a - b);
        next.push([0, 1, 2].map((i) => p[i]! + t * (q[i]! - p[i]!)));
      }
    }
    ring = next;
  }
  return ring.length < 3 ? [] : ring.flatMap((p) => [p[0]!, p[1]!]);
}

/** Where a linear value equals `level` on a triangle: two points as x, y, x, y, or nothing. */
export function contour(xy: number[], values: number[], level: number): number[] {
  const out: number[] = [];
  for (let k = 0; k < 3; k++) {
    const j = (k + 1) % 3;
    const [a, b] = [values[k]! - level, values[j]! - level];
    if (a >= 0 === b >= 0) continue;
    const t = a / (a - b);
    out.push(
      xy[2 * k]! + t * (xy[2 * j]! - xy[2 * k]!),
      xy[2 * k + 1]! + t * (xy[2 * j + 1]! - xy[2 * k + 1]!),
    );
  }
  return out.length === 4 ? out : [];
}
