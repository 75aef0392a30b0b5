import earcut from 'earcut';
import type { Vec2, Vec3 } from '../shapes/vector.js';
import { FlexMesh, next } from './remesh/flex.js';
import { mend } from './remesh/mend.js';
import type { Metric } from './remesh/metric.js';
import { remesh } from './remesh/remesh.js';

/** A closed rim: its corners in order, and the middle of the side from each corner to the next. */
export interface Rim {
  corners: Vec2[];
  mids: Vec2[];
}

/** A flat triangle with curved rims: corners counter-clockwise, then mid-sides of ab, bc, ca. */
export type FlatPanel = [Vec2, Vec2, Vec2, Vec2, Vec2, Vec2];

/**
 * Panels of the flat region between an outer rim (counter-clockwise) and holes (clockwise). The rims keep their points;
 * with a metric the inside is graded.
 */
export function fillFlat(rims: Rim[], metric?: (q: Vec2) => Metric): FlatPanel[] {
  const points: number[] = [];
  const starts: number[] = [];
  const rim = new Map<string, Vec2>();
  const after: number[] = [];
  rims.forEach(({ corners, mids }, i) => {
    const first = points.length / 2;
    if (i > 0) starts.push(first);
    corners.forEach((q, k) => {
      const to = (k + 1) % corners.length;
      rim.set(sideName(q, corners[to]!), mids[k]!);
      after.push(first + to);
      points.push(...q);
    });
  });
  const triangles = earcut(points, starts, 2);
  const vertices = after.flatMap((_, v) => [points[2 * v]!, points[2 * v + 1]!, 0]);
  const mesh = new FlexMesh(vertices, upward(points, triangles), new Int32Array(triangles.length / 3));
  mesh.locked.fill(true);
  threadRim(mesh, after);
  if (metric)
    remesh(mesh, {
      metric: (p) => metric([p[0], p[1]]),
      project: (p) => p,
      between: straight,
      rimOnly: true,
      rounds: 6,
    });
  const corner = (h: number): Vec2 => {
    const p = mesh.point(mesh.org[h]!);
    return [p[0], p[1]];
  };
  const mid = (h: number): Vec2 => {
    const [a, b] = [corner(h), corner(next(h))];
    const known = mesh.twin[h]! < 0 && rim.get(sideName(a, b));
    return known || [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  };
  if (metric) mend(mesh, (h) => [...mid(h), 0], straight, { keepRim: true });
  return mesh.living().map((t) => {
    const sides = [3 * t, 3 * t + 1, 3 * t + 2];
    return [...sides.map(corner), ...sides.map(mid)] as FlatPanel;
  });
}

const straight = (a: Vec3, b: Vec3, t: number): Vec3 => [
  a[0] + t * (b[0] - a[0]),
  a[1] + t * (b[1] - a[1]),
  0,
];

const sideName = (a: Vec2, b: Vec2): string => `${a.join()};${b.join()}`;

/** Puts back the rim points on straight stretches that the triangulation skipped; `after` names each one's successor. */
function threadRim(mesh: FlexMesh, after: number[]): void {
  for (let h = 0; h < mesh.org.length; h++) {
    if (mesh.twin[h]! >= 0) continue;
    const end = mesh.org[next(h)]!;
    let side = h;
    for (let v = after[mesh.org[h]!]!; v !== undefined && v !== end; v = after[v]!) {
      const m = mesh.split(side, [mesh.at[3 * v]!, mesh.at[3 * v + 1]!, 0]);
      mesh.locked[m] = true;
      side = mesh.out[m]!;
    }
  }
}

/** Triangles wound counter-clockwise. */
function upward(points: number[], triangles: number[]): number[] {
  const out = [...triangles];
  for (let t = 0; t < out.length; t += 3) {
    const [a, b, c] = [2 * out[t]!, 2 * out[t + 1]!, 2 * out[t + 2]!];
    const twice =
      (points[b]! - points[a]!) * (points[c + 1]! - points[a + 1]!) -
      (points[b + 1]! - points[a + 1]!) * (points[c]! - points[a]!);
    if (twice < 0) [out[t + 1], out[t + 2]] = [out[t + 2]!, out[t + 1]!];
  }
  return out;
}
