import { fillFlat } from '../panels/fill.js';
import { type Metric, stretched } from '../panels/remesh/metric.js';
import {
  divide,
  FINENESS,
  type Fineness,
  gapAt,
  limitGrowth,
  noFinerThan,
  RELIEF,
  type SizeRequest,
  SLIT,
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

type Six = [Vec3, Vec3, Vec3, Vec3, Vec3, Vec3];

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
    panels: (request) => {
      const eased = noFinerThan(request, SLIT * FINENESS[request.quality].edge * size);
      return graded(loops, region, low, high, eased, size, tolerance);
    },
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
  const rims = loops.map((loop, i) => {
    const vs = cuts[i]!;
    return {
      corners: vs.slice(0, -1).map((v) => at(loop, v)),
      mids: vs.slice(0, -1).map((v, k) => at(loop, (v + vs[k + 1]!) / 2)),
    };
  });
  const metric = (q: Vec2): Metric => {
    const { point, distance } = region.rim(q);
    const { across, along } = spacing!(q, distance);
    const way: Vec3 =
      distance > 0 ? [(q[0] - point[0]) / distance, (q[1] - point[1]) / distance, 0] : [0, 0, 1];
    return stretched(way, across, along);
  };
  const [low, high] = [heights[0]!, heights.at(-1)!];
  for (const panel of fillFlat(rims, spacing && metric)) {
    const [a, b, c, ab, bc, ca] = panel.map(([x, y]) => [x, y, high] as const) as Six;
    maker.panel(face + 1, a, b, c, ab, bc, ca);
    const [d, e, f, de, ef, fd] = panel.map(([x, y]) => [x, y, low] as const) as Six;
    maker.panel(face, d, f, e, fd, ef, de);
  }
  return maker.finish(tolerance);
}
