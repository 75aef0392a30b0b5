import { cross, dot, length, subtract, unit, type Vec3 } from '../../shapes/vector.js';
import { FINENESS, type Fineness, type Quality, RELIEF } from '../size.js';
import { CORNER, type SmoothMesh } from './smooth.js';

/** A place that wants small panels, and the direction it is sharp in: across an edge or a rounding. */
export interface Seed {
  at: Vec3;
  h: number;
  /** Unit vector across; absent where panels must be small all around, e.g. at a corner. */
  across?: Vec3;
}

/** Size wanted across, along, and the direction across, at a place. */
export interface Wanted {
  across: number;
  along: number;
  direction: Vec3;
}

/** More seeds than this are thinned out: the sizes they ask for could not be afforded anyway. */
const MANY = 30000;

/** Seeds of a smooth mesh, fewer and coarser where the detail is endless. */
export function seedsOf(mesh: SmoothMesh, f: Fineness, size: number): Seed[] {
  let edge = f.edge * size;
  for (;;) {
    const seeds = seedsAt(mesh, f, size, edge);
    if (seeds.length < MANY || edge > 0.1 * size) return seeds;
    edge *= 2;
  }
}

/** Seeds of a smooth mesh: convex sharp edges, their corners, and curved triangles. */
function seedsAt(mesh: SmoothMesh, f: Fineness, size: number, edge: number): Seed[] {
  const seeds: Seed[] = [];
  const { triangles, twin, sharp } = mesh;
  const at = (v: number): Vec3 => [
    mesh.vertices[3 * v]!,
    mesh.vertices[3 * v + 1]!,
    mesh.vertices[3 * v + 2]!,
  ];
  const edgesAt = new Map<number, Vec3[]>();
  for (let h = 0; h < triangles.length; h++) {
    const other = twin[h]!;
    if (!sharp[h] || (other >= 0 && other < h)) continue;
    const next = h % 3 === 2 ? h - 2 : h + 1;
    const [a, b] = [at(triangles[h]!), at(triangles[next]!)];
    const e = subtract(b, a);
    edgesAt.set(triangles[h]!, [...(edgesAt.get(triangles[h]!) ?? []), unit(e)]);
    edgesAt.set(triangles[next]!, [...(edgesAt.get(triangles[next]!) ?? []), unit(subtract(a, b))]);
    if (other >= 0 && !standsOut(mesh, h, other, at)) continue;
    const across = unit(cross(mesh.normal[h]!, e));
    const steps = Math.min(200, Math.max(1, Math.ceil(length(e) / (2 * edge))));
    for (let k = 0; k <= steps; k++) {
      const t = k / steps;
      seeds.push({ at: [a[0] + t * e[0], a[1] + t * e[1], a[2] + t * e[2]], h: edge, across });
    }
  }
  for (const [v, directions] of edgesAt) {
    const smooth = directions.length === 2 && dot(directions[0]!, directions[1]!) < -Math.cos(CORNER);
    if (!smooth) seeds.push({ at: at(v), h: edge });
  }
  for (let t = 0; t < triangles.length / 3; t++)
    for (const seed of curvedSeeds(mesh, t, f, size, at))
      seeds.push({ ...seed, h: Math.max(seed.h, edge / 4) });
  return thinned(seeds);
}

/** Whether metal stands out at an edge: the neighbour's far corner lies below this triangle's plane. */
function standsOut(mesh: SmoothMesh, h: number, other: number, at: (v: number) => Vec3): boolean {
  const far = mesh.triangles[other % 3 === 0 ? other + 2 : other - 1]!;
  const t = (h / 3) | 0;
  const [a, b, c] = [0, 1, 2].map((k) => at(mesh.triangles[3 * t + k]!)) as [Vec3, Vec3, Vec3];
  return dot(cross(subtract(b, a), subtract(c, a)), subtract(at(far), a)) < 0;
}

/** Sides of free panels run up to 1.4 of what is asked; so they are asked for somewhat less than structured ones. */
const SHARE = 0.75;
/** A free panel bent by more than this loses the rounding it lies on [rad]. */
const MOST_BEND = (52 * Math.PI) / 180;
/** The same for what is the body itself: the chord must stay well off the far side of a thin wall [rad]. */
const MOST_TURN = (36 * Math.PI) / 180;

/**
 * A draft of a free mesh is cut half way to standard: without rows to hold them, coarser panels lose thin walls and small
 * roundings.
 */
export const meshFineness = (quality: Quality): Fineness =>
  quality === 'draft'
    ? { around: (25 * Math.PI) / 180, bend: Math.PI / 3, growth: 1, edge: 1 / 24, gap: 1.4, largest: 1 / 4 }
    : FINENESS[quality];

/** Angle one panel may bend by [rad]: more on a small rounding than on what is the body itself. */
export const bendOf = (k: number, f: Fineness, size: number): number =>
  SHARE * (k * size > 12 ? Math.min(f.bend, MOST_BEND) : Math.min(RELIEF * f.around, MOST_TURN));

/** Size from the curvature of a triangle, found from how its corner normals turn along its sides. */
function curvedSeeds(
  mesh: SmoothMesh,
  t: number,
  f: Fineness,
  size: number,
  at: (v: number) => Vec3,
): Seed[] {
  const p = [0, 1, 2].map((k) => at(mesh.triangles[3 * t + k]!)) as [Vec3, Vec3, Vec3];
  const n = [0, 1, 2].map((k) => mesh.normal[3 * t + k]!) as [Vec3, Vec3, Vec3];
  const { most, least, direction } = curvature(p, n);
  if (most * size < 1e-2) return [];
  const bend = (k: number): number =>
    Math.min(size, (k * size > 12 ? f.bend : Math.min(f.bend, 1.6 * f.around)) / k);
  const h = bend(most);
  const alike = least > 0.5 * most;
  const centre: Vec3 = [0, 1, 2].map((d) => (p[0][d]! + p[1][d]! + p[2][d]!) / 3) as unknown as Vec3;
  // Long thin triangles of a turned surface: seeds all along them.
  const places: Vec3[] = [centre];
  for (let k = 0; k < 3; k++) {
    const [a, b] = [p[k]!, p[(k + 1) % 3]!];
    const steps = Math.min(100, Math.ceil(length(subtract(b, a)) / (3 * h)));
    for (let i = 0; i <= steps; i++) {
      const s = i / Math.max(steps, 1);
      places.push([a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), a[2] + s * (b[2] - a[2])]);
    }
  }
  return places.map((place) => (alike ? { at: place, h } : { at: place, h, across: direction }));
}

/** Largest and smallest absolute curvature of a patch [1/m] and the direction of the largest (least squares over its sides). */
export function curvature(
  p: [Vec3, Vec3, Vec3],
  n: [Vec3, Vec3, Vec3],
): { most: number; least: number; direction: Vec3 } {
  const x = unit(subtract(p[1], p[0]));
  const z = unit(cross(x, subtract(p[2], p[0])));
  const y = cross(z, x);
  // Unknown shape operator (a, b; b, c): turn of the normal = operator times side, for each side.
  const m = [0, 0, 0, 0, 0, 0];
  const r = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    const e = subtract(p[(k + 1) % 3]!, p[k]!);
    const d = subtract(n[(k + 1) % 3]!, n[k]!);
    const [ex, ey, dx, dy] = [dot(e, x), dot(e, y), dot(d, x), dot(d, y)];
    m[0]! += ex * ex;
    m[1]! += ex * ey;
    m[3]! += ex * ex + ey * ey;
    m[5]! += ey * ey;
    r[0]! += ex * dx;
    r[1]! += ey * dx + ex * dy;
    r[2]! += ey * dy;
  }
  // Normal equations [ex2 exey 0; exey ex2+ey2 exey; 0 exey ey2].
  const [xx, xy, both, yy] = [m[0]!, m[1]!, m[3]!, m[5]!];
  const det = xx * (both * yy - xy * xy) - xy * xy * yy;
  if (!(Math.abs(det) > 1e-12 * both ** 3)) return { most: 0, least: 0, direction: x };
  const b = (xx * yy * r[1]! - xy * yy * r[0]! - xx * xy * r[2]!) / det;
  const a = (r[0]! - xy * b) / xx;
  const c = (r[2]! - xy * b) / yy;
  const [mean, half] = [(a + c) / 2, Math.hypot((a - c) / 2, b)];
  const [k1, k2] = [mean + half, mean - half];
  const big = Math.abs(k1) >= Math.abs(k2) ? k1 : k2;
  const angle = Math.atan2(2 * b, a - c) / 2 + (big === k1 ? 0 : Math.PI / 2);
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const direction: Vec3 = [cos * x[0] + sin * y[0], cos * x[1] + sin * y[1], cos * x[2] + sin * y[2]];
  return { most: Math.abs(big), least: Math.abs(k1 + k2 - big), direction };
}

/** Keeps about one seed per cell of its own size: the smallest. */
function thinned(seeds: Seed[]): Seed[] {
  const cells = new Map<number, Map<number, Seed>>();
  for (const seed of seeds) {
    const level = Math.floor(Math.log2(seed.h));
    const cell = 0.7 * 2 ** level;
    const [x, y, z] = seed.at.map((q) => Math.floor(q / cell)) as [number, number, number];
    // Indices stay well below 2^16 for anything the seeds can be spaced at.
    const name = ((x & 0xffff) * 0x10000 + (y & 0xffff)) * 0x20000 + (z & 0xffff) * 2 + (seed.across ? 1 : 0);
    const row = cells.get(level) ?? new Map<number, Seed>();
    cells.set(level, row);
    const known = row.get(name);
    if (!known || seed.h < known.h) row.set(name, seed);
  }
  return [...cells.values()].flatMap((row) => [...row.values()]);
}
