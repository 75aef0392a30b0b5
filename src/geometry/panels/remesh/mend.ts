import { add, cross, distance, dot, length, middle, subtract, type Vec3 } from '../../shapes/vector.js';
import { compact } from '../cut.js';
import type { Skin } from '../skin.js';
import { before, type FlexMesh, next, tri } from './flex.js';

/** Mid-side node of a half-edge on the true surface. */
export type MidOf = (h: number) => Vec3;

/** Least cosine between the normal anywhere on a panel and its mean normal. */
const SOUND = 0.35;
const SWEEPS = 7;
/** Most splits tried in one mesh; more of them would only crowd a hopeless place. */
const MOST = 10;

/**
 * Unfolds curved panels that fold over themselves, e.g. a thin triangle along a tight curve: by flipping a side where
 * that leaves two sound panels, else by a new corner off the curve, else by splitting the side that bends most, which
 * quarters its bend (never a rim that must meet a neighbour, with `keepRim`; `only` limits the check). Returns how many panels are still folded after a few sweeps.
 */
export function mend(
  mesh: FlexMesh,
  midOf: MidOf,
  between: Between,
  { keepRim = false, only }: { keepRim?: boolean; only?: number[] } = {},
): number {
  let splits = 0;
  let check = only ?? mesh.living();
  for (let sweep = 0; sweep < SWEEPS && check.length > 0; sweep++) {
    const again = new Set<number>();
    for (const t of check) {
      if (mesh.org[3 * t]! < 0 || soundness(mesh, t, midOf) >= SOUND) continue;
      again.add(t);
      const turned = flipToSound(mesh, t, midOf, between);
      if (turned >= 0) {
        again.add(turned);
        continue;
      }
      if (sweep < 2 || splits >= MOST) continue;
      splits++;
      const first = mesh.label.length;
      const twin =
        sweep < 4 || keepRim ? pushOut(mesh, t, midOf, between) : splitBent(mesh, t, midOf, between);
      if (twin >= 0) again.add(tri(twin));
      for (let n = first; n < mesh.label.length; n++) again.add(n);
    }
    check = [...again];
  }
  return check.filter((t) => mesh.org[3 * t]! >= 0 && soundness(mesh, t, midOf) < SOUND).length;
}

type Between = (a: Vec3, b: Vec3, t: number, labels: number[]) => Vec3;

/** Splits the longest side inside the face and moves the new corner into the neighbour, off the curve all three lie on. */
function pushOut(mesh: FlexMesh, t: number, midOf: MidOf, between: Between): number {
  const long = (h: number): number => distance(mesh.point(mesh.org[h]!), mesh.point(mesh.org[next(h)]!));
  const inner = [3 * t, 3 * t + 1, 3 * t + 2].filter((h) => !mesh.sharp[h]);
  const h = inner.sort((x, y) => long(y) - long(x))[0];
  if (h === undefined) return -1;
  const twin = mesh.twin[h]!;
  const far = mesh.point(mesh.org[before(twin)]!);
  mesh.split(h, between(midOf(h), far, 0.35, [mesh.label[t]!]));
  return twin;
}

function splitBent(mesh: FlexMesh, t: number, midOf: MidOf, between: Between): number {
  const h = mostBent(mesh, t, midOf);
  const twin = mesh.twin[h]!;
  const labels = [...new Set([mesh.label[t]!, mesh.label[tri(twin >= 0 ? twin : h)]!])];
  mesh.split(h, between(mesh.point(mesh.org[h]!), mesh.point(mesh.org[next(h)]!), 0.5, labels));
  return twin;
}

/** Flips the side of a folded triangle that leaves a sound pair facing the same way; returns the neighbour or -1. */
function flipToSound(mesh: FlexMesh, t: number, midOf: MidOf, between: Between): number {
  const own = soundness(mesh, t, midOf);
  for (const h of [3 * t, 3 * t + 1, 3 * t + 2]) {
    const twin = mesh.twin[h]!;
    if (mesh.sharp[h] || twin < 0) continue;
    const [hn, hp, tn, tp] = [next(h), before(h), next(twin), before(twin)];
    const [a, b, c, d] = [h, twin, hp, tp].map((g) => mesh.point(mesh.org[g]!)) as [Vec3, Vec3, Vec3, Vec3];
    const mean = add(areaVector(a, b, c), areaVector(b, a, d));
    if (dot(areaVector(a, d, c), mean) <= 0 || dot(areaVector(b, c, d), mean) <= 0) continue;
    const mid = between(c, d, 0.5, [mesh.label[t]!]);
    const after = Math.min(
      panelSoundness([a, d, c, midOf(tn), mid, midOf(hp)]),
      panelSoundness([b, c, d, midOf(hn), mid, midOf(tp)]),
    );
    const was = Math.min(own, soundness(mesh, tri(twin), midOf));
    if (after > Math.max(was + 0.05, 0.2) && mesh.flip(h)) return tri(twin);
  }
  return -1;
}

const areaVector = (a: Vec3, b: Vec3, c: Vec3): Vec3 => cross(subtract(b, a), subtract(c, a));

/** The living triangles as curved panels. */
export function curved(mesh: FlexMesh, midOf: MidOf): Skin {
  const points: Vec3[] = Array.from({ length: mesh.out.length }, (_, v) => mesh.point(v));
  const made = new Map<number, number>();
  const panels: number[] = [];
  const face: number[] = [];
  for (const t of mesh.living()) {
    const sides = [3 * t, 3 * t + 1, 3 * t + 2];
    panels.push(...sides.map((h) => mesh.org[h]!));
    for (const h of sides) {
      const twin = mesh.twin[h]!;
      let node = twin >= 0 ? made.get(twin) : undefined;
      if (node === undefined) {
        node = points.push(midOf(h)) - 1;
        made.set(h, node);
      }
      panels.push(node);
    }
    face.push(mesh.label[t]!);
  }
  return compact(points, panels, face);
}

/** Side of a triangle whose curve strays most from its chord. */
function mostBent(mesh: FlexMesh, t: number, midOf: MidOf): number {
  let best = 3 * t;
  let most = -1;
  for (const h of [3 * t, 3 * t + 1, 3 * t + 2]) {
    const chord = middle(mesh.point(mesh.org[h]!), mesh.point(mesh.org[next(h)]!));
    const bend = distance(midOf(h), chord);
    if (bend > most) [best, most] = [h, bend];
  }
  return best;
}

/** Smallest cosine between the normal at a panel's corners and mid-sides and their mean; 1 for a flat panel. */
function soundness(mesh: FlexMesh, t: number, midOf: MidOf): number {
  const h = 3 * t;
  const p = [h, h + 1, h + 2].map((k) => mesh.point(mesh.org[k]!));
  const m = [h, h + 1, h + 2].map(midOf);
  return panelSoundness([p[0]!, p[1]!, p[2]!, m[0]!, m[1]!, m[2]!]);
}

/** The same for six nodes: corners a, b, c, mid-sides of ab, bc, ca. */
export function panelSoundness(nodes: Vec3[]): number {
  const normals = PLACES.map(({ byU, byV }) => cross(mix(nodes, byU), mix(nodes, byV)));
  const mean: Vec3 = [0, 1, 2].map((k) => normals.reduce((s, n) => s + n[k]!, 0)) as unknown as Vec3;
  const l = length(mean);
  return Math.min(...normals.map((n) => dot(n, mean) / Math.max(l * length(n), 1e-300)));
}

const mix = (nodes: Vec3[], w: number[]): Vec3 =>
  [0, 1, 2].map((d) => nodes.reduce((s, p, k) => s + w[k]! * p[d]!, 0)) as unknown as Vec3;

/** Slopes of the six shape functions near the corners, at the mid-sides and in the middle. */
const PLACES = (
  [
    [0.03, 0.03],
    [0.94, 0.03],
    [0.03, 0.94],
    [0.5, 0],
    [0.5, 0.5],
    [0, 0.5],
    [1 / 3, 1 / 3],
  ] as const
).map(([u, v]) => {
  const l = 1 - u - v;
  return {
    byU: [1 - 4 * l, 4 * u - 1, 0, 4 * (l - u), 4 * v, -4 * v],
    byV: [1 - 4 * l, 0, 4 * v - 1, -4 * u, 4 * u, 4 * (l - v)],
  };
});
