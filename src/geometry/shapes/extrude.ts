import earcut from 'earcut';
import { FlexMesh, next } from '../panels/remesh/flex.js';
import { mend } from '../panels/remesh/mend.js';
import { stretched } from '../panels/remesh/metric.js';
import { remesh } from '../panels/remesh/remesh.js';
import {
  divide,
  FINENESS,
  type Fineness,
  gapAt,
  limitGrowth,
  RELIEF,
  type SizeRequest,
  type Wish,
} from '../panels/size.js';
import { type Skin, SkinMaker } from '../panels/skin.js';
import { weave } from '../panels/weave.js';
import { edgeSizes, rowsAlong } from './lathe.js';
import { at, curvatureAt, enclosed, inside, nearest, type Profile } from './profile.js';
import { nearestOn, pointOn, type Segment } from './segment.js';
import type { Face, Solid } from './solid.js';
import type { Vec2, Vec3 } from './vector.js';

/** Caps may have panels this much longer along their rim than across. */
const STRETCH = 6;

/** Straight prism over an outline with holes, from z = low to high: outline counter-clockwise, holes clockwise. */
export function extrude(outline: Profile, holes: Profile[], low: number, high: number): Solid {
  const loops = [outline, ...holes];
  const measures = loops.map(enclosed);
  const flatArea = measures.reduce((sum, m) => sum + m.area, 0);
  const girth = measures.reduce((sum, m) => sum + m.length, 0);
  const { min, max } = extent(outline);
  const size = Math.max(max[0] - min[0], max[1] - min[1], high - low);
  const tolerance = 1e-9 * size;
  const region = new Region(loops);
  const sides: Face[] = loops.flatMap((loop) => loop.segments.map((s) => sideFace(s, low, high)));
  const cap = (z: number): Face => ({
    closest: (p) => {
      const q = region.clamp([p[0], p[1]]);
      return [q[0], q[1], z];
    },
  });
  return {
    faces: [...sides, cap(low), cap(high)],
    distance: (p) => {
      const across = region.distance([p[0], p[1]]);
      const along = Math.abs(p[2] - (low + high) / 2) - (high - low) / 2;
      if (across <= 0 && along <= 0) return Math.max(across, along);
      return Math.hypot(Math.max(across, 0), Math.max(along, 0));
    },
    panels: (request) => graded(loops, region, low, high, request, size, tolerance),
    tessellate: (within) => flat(loops, region, low, high, within, size, tolerance),
    area: 2 * flatArea + girth * (high - low),
    volume: flatArea * (high - low),
    tolerance,
    bounds: { min: [min[0], min[1], low], max: [max[0], max[1], high] },
  };
}

function extent(p: Profile): { min: Vec2; max: Vec2 } {
  const points = p.segments.flatMap((s) => Array.from({ length: 33 }, (_, k) => pointOn(s, k / 32)));
  const [xs, ys] = [points.map((q) => q[0]), points.map((q) => q[1])];
  return { min: [Math.min(...xs), Math.min(...ys)], max: [Math.max(...xs), Math.max(...ys)] };
}

function sideFace(s: Segment, low: number, high: number): Face {
  const z = (p: Vec3): number => Math.min(high, Math.max(low, p[2]));
  const raise = (q: Vec2, height: number): Vec3 => [q[0], q[1], height];
  return {
    closest: (p) => raise(pointOn(s, nearestOn(s, [p[0], p[1]])), z(p)),
    between: (a, b, t) => {
      const [from, to] = [nearestOn(s, [a[0], a[1]]), nearestOn(s, [b[0], b[1]])];
      return raise(pointOn(s, from + t * (to - from)), z(a) + t * (z(b) - z(a)));
    },
  };
}

/** The flat region inside the outline and outside the holes. */
class Region {
  constructor(private readonly loops: Profile[]) {}

  rim(q: Vec2): { point: Vec2; distance: number } {
    let best = { point: q, distance: Number.POSITIVE_INFINITY };
    for (const loop of this.loops) {
      const near = nearest(loop, q);
      if (near.distance < best.distance) best = near;
    }
    return best;
  }

  contains(q: Vec2): boolean {
    // Metal lies left of every loop; a clockwise hole counts its outside.
    let odd = false;
    for (const loop of this.loops) if (inside(loop, q)) odd = !odd;
    return odd;
  }

  distance(q: Vec2): number {
    return this.rim(q).distance * (this.contains(q) ? -1 : 1);
  }

  clamp(q: Vec2): Vec2 {
    return this.contains(q) ? q : this.rim(q).point;
  }
}

/** Positions along each loop and heights that all faces share, and the caps inside them. */
function graded(
  loops: Profile[],
  region: Region,
  low: number,
  high: number,
  request: SizeRequest,
  size: number,
  tolerance: number,
): Skin {
  const f = FINENESS[request.quality];
  const edge = Math.min(f.edge * size, 0.25 * (high - low));
  const nearestGap = (q: Vec2): number =>
    Math.min(...[low, (low + high) / 2, high].map((z) => gapAt(request, [q[0], q[1], z])));
  const cuts = loops.map((loop) => {
    const wish = (v: number): number => {
      const k = curvatureAt(loop, v);
      const angle = k * size > 12 ? f.bend : Math.min(f.bend, RELIEF * f.around);
      // The bow of a curved rim must stay well inside the first row of cap panels, which is `edge` deep.
      const bow = Math.sqrt(edge / (0.6 * k));
      const most = Math.min(angle / k, bow, f.largest * size, f.gap * nearestGap(at(loop, v)));
      return Math.max(1e-4 * size, most);
    };
    return rowsAlong(loop, wish, f.growth, edgeSizes(loop, f.edge, size)).map((row) => row.v);
  });
  const heights = cutHeights(loops, low, high, edge, f, size, nearestGap);
  const spacing = (q: Vec2, d: number): { across: number; along: number } => {
    const most = Math.min(f.largest * size, f.gap * nearestGap(q));
    const across = Math.min(edge + f.growth * d, most);
    return { across, along: Math.min(STRETCH * across, most) };
  };
  return assemble(loops, cuts, heights, region, tolerance, spacing);
}

function cutHeights(
  loops: Profile[],
  low: number,
  high: number,
  edge: number,
  f: Fineness,
  size: number,
  gap: (q: Vec2) => number,
): number[] {
  const near = Math.min(...loops.flatMap((l) => l.segments.map((s) => gap(pointOn(s, 0.5)))));
  const wishes: Wish[] = Array.from({ length: 65 }, (_, i) => ({
    s: (i / 64) * (high - low),
    h: i === 0 || i === 64 ? edge : Math.max(1e-3 * size, Math.min(f.largest * size, f.gap * near)),
  }));
  limitGrowth(wishes, f.growth);
  return divide(wishes, 0, high - low).map((s) => low + s);
}

function flat(
  loops: Profile[],
  region: Region,
  low: number,
  high: number,
  within: number,
  size: number,
  tolerance: number,
): Skin {
  const none = (loop: Profile): number[] => loop.kink.map(() => Number.POSITIVE_INFINITY);
  const cuts = loops.map((loop) =>
    rowsAlong(
      loop,
      (v) => Math.min(size, 2 * Math.sqrt((0.5 * within) / Math.max(curvatureAt(loop, v), 1e-300))),
      1e9,
      none(loop),
    ).map((row) => row.v),
  );
  return assemble(loops, cuts, [low, high], region, tolerance);
}

function assemble(
  loops: Profile[],
  cuts: number[][],
  heights: number[],
  region: Region,
  tolerance: number,
  spacing?: (q: Vec2, depth: number) => { across: number; along: number },
): Skin {
  const maker = new SkinMaker();
  let face = 0;
  loops.forEach((loop, i) => {
    const first = face;
    const along = cuts[i]!;
    // Segment by segment, so that every panel knows its face.
    loop.segments.forEach((_, s) => {
      const part = along.filter((v) => v >= s - 1e-12 && v <= s + 1 + 1e-12);
      weave(
        {
          point: (u, v) => {
            const q = at(loop, Math.min(u, s + 1 - 1e-15));
            return [q[0], q[1], v];
          },
          rows: heights,
          cuts: heights.map(() => part),
          period: 0,
          face: () => first + s,
        },
        maker,
      );
    });
    face += loop.segments.length;
  });
  const plan = planOf(loops, cuts, region, spacing);
  const raise = (q: Vec2, z: number): Vec3 => [q[0], q[1], z];
  for (const t of plan.mesh.living()) {
    const hs = [3 * t, 3 * t + 1, 3 * t + 2];
    const [a, b, c] = hs.map((h) => plan.corner(h)) as [Vec2, Vec2, Vec2];
    const [ab, bc, ca] = hs.map((h) => plan.mid(h)) as [Vec2, Vec2, Vec2];
    const [low, high] = [heights[0]!, heights.at(-1)!];
    const up = (q: Vec2): Vec3 => raise(q, high);
    const down = (q: Vec2): Vec3 => raise(q, low);
    maker.panel(face + 1, up(a), up(b), up(c), up(ab), up(bc), up(ca));
    maker.panel(face, down(a), down(c), down(b), down(ca), down(bc), down(ab));
  }
  return maker.finish(tolerance);
}

/** Triangles of the flat region with the given rim points, graded inward where sizes are given. */
function planOf(
  loops: Profile[],
  cuts: number[][],
  region: Region,
  spacing?: (q: Vec2, depth: number) => { across: number; along: number },
): { mesh: FlexMesh; corner(h: number): Vec2; mid(h: number): Vec2 } {
  const points: number[] = [];
  const starts: number[] = [];
  const rim = new Map<string, Vec2>();
  const after: number[] = [];
  loops.forEach((loop, i) => {
    const first = points.length / 2;
    if (i > 0) starts.push(first);
    const ring = cuts[i]!.slice(0, -1).map((v) => at(loop, v));
    ring.forEach((q, k) => {
      const to = (k + 1) % ring.length;
      rim.set(sideName(q, ring[to]!), at(loop, (cuts[i]![k]! + cuts[i]![k + 1]!) / 2));
      after.push(first + to);
      points.push(...q);
    });
  });
  const triangles = earcut(points, starts, 2);
  const vertices = after.flatMap((_, v) => [points[2 * v]!, points[2 * v + 1]!, 0]);
  const mesh = new FlexMesh(vertices, upward(points, triangles), new Int32Array(triangles.length / 3));
  mesh.locked.fill(true);
  threadRim(mesh, after);
  if (spacing)
    remesh(mesh, {
      metric: (p) => {
        const q: Vec2 = [p[0], p[1]];
        const near = region.rim(q);
        const { across, along } = spacing(q, near.distance);
        const way: Vec3 =
          near.distance > 0
            ? [(p[0] - near.point[0]) / near.distance, (p[1] - near.point[1]) / near.distance, 0]
            : [0, 0, 1];
        return stretched(way, across, along);
      },
      project: (p) => p,
      between: straight,
      rounds: 6,
    });
  const corner = (h: number): Vec2 => {
    const p = mesh.point(mesh.org[h]!);
    return [p[0], p[1]];
  };
  const mid = (h: number): Vec2 => {
    const known = mesh.twin[h]! < 0 && rim.get(sideName(corner(h), corner(next(h))));
    const [a, b] = [corner(h), corner(next(h))];
    return known || [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  };
  if (spacing) mend(mesh, (h) => [...mid(h), 0], straight, { keepRim: true });
  return { mesh, corner, mid };
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
