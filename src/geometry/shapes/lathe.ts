import {
  divide,
  FINENESS,
  gapAt,
  limitGrowth,
  noFinerThan,
  type Plane,
  RELIEF,
  type SizeRequest,
  SLIT,
  sizeAround,
  type Wish,
} from '../panels/size.js';
import { SkinMaker } from '../panels/skin.js';
import { around, even, weave } from '../panels/weave.js';
import { at, chainsBelow, curvatureAt, inside, nearest, type Profile, turned } from './profile.js';
import { nearestOn, pointOn, type Segment, slopeOn } from './segment.js';
import type { Solid } from './solid.js';
import type { Vec2, Vec3 } from './vector.js';

/** A body turned about the z axis from its half section (r, z), metal on the left of the chain. */
export function lathe(profile: Profile): Solid {
  const { min, max } = extent(profile);
  const size = Math.max(2 * max[0], max[1] - min[1]);
  const tolerance = 1e-9 * size;
  const spin = (q: Vec2, p: Vec3): Vec3 => {
    const r = Math.hypot(p[0], p[1]);
    return r > 0 ? [(q[0] * p[0]) / r, (q[0] * p[1]) / r, q[1]] : [q[0], 0, q[1]];
  };
  const flat = (p: Vec3): Vec2 => [Math.hypot(p[0], p[1]), p[2]];
  return {
    faces: Array.from({ length: profile.faces }, (_, face) => ({
      closest: (p: Vec3) => spin(nearest(profile, flat(p), face).point, p),
      between: (a: Vec3, b: Vec3, t: number) => alongFace(profile.segments[face]!, a, b, t),
    })),
    distance: (p) => {
      const q = flat(p);
      const d = nearest(profile, q).distance;
      return inside(profile, q) ? -d : d;
    },
    panels: (request) => {
      const maker = new SkinMaker();
      const girth = request.wall ? 0.4 * size : Math.min(size, 4 * max[0]);
      const eased = noFinerThan(request, SLIT * FINENESS[request.quality].edge * girth);
      for (const chain of request.below ? clipped(profile, request.below) : [profile])
        gradedPanels(chain, eased, size, maker);
      return maker.finish(tolerance);
    },
    tessellate: (within) => {
      const maker = new SkinMaker();
      fineFacets(profile, within, max[0], tolerance, maker);
      return maker.finish(tolerance);
    },
    ...turned(profile),
    tolerance,
    bounds: { min: [-max[0], -max[0], min[1]], max: [max[0], max[0], max[1]] },
  };
}

/** What of the profile lies below a plane across the axis; a slanting plane is left to the general cut. */
function clipped(profile: Profile, below: Plane): Profile[] {
  const side = below.normal[2];
  if (Math.abs(side) < 1 - 1e-12) return [profile];
  return chainsBelow(profile, below.offset * side, side);
}

/** Between two points of a turned segment: evenly in the angle around the axis and in the place along the profile. */
function alongFace(segment: Segment, a: Vec3, b: Vec3, t: number): Vec3 {
  const [ra, rb] = [Math.hypot(a[0], a[1]), Math.hypot(b[0], b[1])];
  const [from, to] = [nearestOn(segment, [ra, a[2]]), nearestOn(segment, [rb, b[2]])];
  const pole = 1e-9 * Math.max(ra, rb);
  const angleB = Math.atan2(b[1], b[0]);
  const angleA = ra > pole ? Math.atan2(a[1], a[0]) : angleB;
  const span = rb > pole ? angleB - angleA : 0;
  const angle = angleA + t * (span - 2 * Math.PI * Math.round(span / (2 * Math.PI)));
  const [r, z] = pointOn(segment, from + t * (to - from));
  return [r * Math.cos(angle), r * Math.sin(angle), z];
}

const turn = (profile: Profile, v: number, u: number): Vec3 => {
  const [r, z] = at(profile, v);
  return [r * Math.cos(u), r * Math.sin(u), z];
};

function extent(p: Profile): { min: Vec2; max: Vec2 } {
  let [r0, z0, r1, z1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const s of p.segments)
    for (let k = 0; k <= 64; k++) {
      const [r, z] = pointOn(s, k / 64);
      [r0, z0, r1, z1] = [Math.min(r0, r), Math.min(z0, z), Math.max(r1, r), Math.max(z1, z)];
    }
  return { min: [r0, z0], max: [r1, z1] };
}

/** Samples a segment: positions along the profile and arc lengths that belong to them. */
const SAMPLES = 16;

interface Row {
  v: number;
  /** Size wished across the row [m]. */
  h: number;
}

/** Rows along a profile for wishes of size at (v): growth-limited, at least one panel a segment. */
export function rowsAlong(
  p: Profile,
  wish: (v: number, segment: number) => number,
  growth: number,
  edge: number[],
): Row[] {
  const wishes: Wish[] = [];
  const place: { v: number; s: number }[] = [];
  let s = 0;
  p.segments.forEach((segment, i) => {
    for (let k = 0; k <= SAMPLES; k++) {
      if (k > 0) s += Math.hypot(...slopeOn(segment, (k - 0.5) / SAMPLES)) / SAMPLES;
      const v = i + k / SAMPLES;
      const h = wish(v, i);
      const atEdge =
        k === 0 ? edge[i]! : k === SAMPLES ? (edge[i + 1] ?? (p.closed ? edge[0]! : Infinity)) : Infinity;
      wishes.push({ s, h: Math.min(h, atEdge) });
      place.push({ v, s });
    }
  });
  limitGrowth(wishes, growth, p.closed ? s : 0);
  const rows: Row[] = [];
  p.segments.forEach((_, i) => {
    const from = i * (SAMPLES + 1);
    const part = wishes.slice(from, from + SAMPLES + 1);
    const cuts = divide(part, part[0]!.s, part[SAMPLES]!.s);
    const last = i === p.segments.length - 1;
    cuts.forEach((c, j) => {
      if (j === cuts.length - 1 && !last) return;
      let k = from;
      while (k < from + SAMPLES - 1 && place[k + 1]!.s < c) k++;
      const t = Math.min(1, Math.max(0, (c - place[k]!.s) / (place[k + 1]!.s - place[k]!.s)));
      const v = j === 0 ? i : j === cuts.length - 1 ? i + 1 : place[k]!.v + t / SAMPLES;
      const beside = Math.max(c - (cuts[j - 1] ?? Infinity), (cuts[j + 1] ?? -Infinity) - c);
      rows.push({ v, h: beside });
    });
  });
  return rows;
}

/** Panel size at each kink that stands out; the current crowds there. */
export function edgeSizes(p: Profile, fraction: number, size: number): number[] {
  return p.kink.map((kink, i) => {
    if (kink <= 0) return Number.POSITIVE_INFINITY;
    const before = p.lengths[(i + p.lengths.length - 1) % p.lengths.length]!;
    return Math.min(fraction * size, 0.25 * before, 0.25 * p.lengths[i]!);
  });
}

function gradedPanels(p: Profile, request: SizeRequest, size: number, maker: SkinMaker): void {
  const f = FINENESS[request.quality];
  const coarse = request.wall ? 2 : 1;
  const spread = [0, 1, 2, 3, 4, 5, 6, 7].map((k) => (k / 8) * 2 * Math.PI);
  const wish = (v: number): number => {
    const curvature = curvatureAt(p, v);
    // A small rounding takes few panels; an arc that is the body itself must also hold its area.
    const bend = curvature * size > 12 ? f.bend : Math.min(f.bend, RELIEF * f.around);
    let h = Math.min((bend * coarse) / curvature, f.largest * coarse * size);
    if (request.gap) for (const u of spread) h = Math.min(h, f.gap * gapAt(request, turn(p, v, u)));
    return Math.max(h, 1e-4 * size);
  };
  const none = p.kink.map(() => Number.POSITIVE_INFINITY);
  const rows = rowsAlong(p, wish, f.growth * coarse, request.wall ? none : edgeSizes(p, f.edge, size));
  const widest = Math.max(...rows.map(({ v }) => at(p, v)[0]));
  const cuts = rows.map(({ v, h }) => cutsOf(p, v, h, request, widest));
  woven(p, rows, evened(cuts), maker);
}

/** Points around one row; a number asks for so many even ones. */
function cutsOf(p: Profile, v: number, h: number, request: SizeRequest, widest: number): number | number[] {
  const f = FINENESS[request.quality];
  const r = at(p, v)[0];
  if (r < 1e-8 * widest) return [0];
  const ask = (u: number): number => {
    const gap = gapAt(request, turn(p, v, u));
    const wanted = request.wall ? Math.min(2 * f.around * r, f.gap * gap) : sizeAround(f, r, gap);
    // Toward a pole panels need not be narrower than they are tall.
    const relaxed = r < 0.4 * widest ? Math.min(0.8 * h, f.gap * gap, 1.05 * r) : 0;
    return Math.max(wanted, relaxed, 1e-4 * r) / r;
  };
  const asks = Array.from({ length: 16 }, (_, k) => ask((k / 16) * 2 * Math.PI));
  const mean = asks.reduce((sum, a) => sum + 1 / a, 0) / 16;
  if (Math.max(...asks) < 1.6 * Math.min(...asks)) return Math.max(6, 2 * Math.PI * mean);
  return around(ask, 6);
}

/** Evenly cut rows share one count, halved where the row is short, so that neighbours make clean rectangles. */
function evened(cuts: (number | number[])[]): number[][] {
  const counts = cuts.filter((c): c is number => typeof c === 'number');
  const most = 2 * Math.ceil(Math.max(6, ...counts) / 2 - 0.1);
  return cuts.map((c) => {
    if (typeof c !== 'number') return c;
    let n = most;
    while (n / 2 >= c * 0.95 && n / 2 >= 5 && n % 2 === 0) n /= 2;
    return even(n);
  });
}

function fineFacets(p: Profile, within: number, radius: number, tolerance: number, maker: SkinMaker): void {
  const sagitta = (curvature: number): number =>
    2 * Math.sqrt((2 * 0.28 * within) / Math.max(curvature, 1e-300));
  const none = p.kink.map(() => Number.POSITIVE_INFINITY);
  const rows = rowsAlong(p, (v) => Math.min(sagitta(curvatureAt(p, v)), 1e9), 1e9, none);
  const angle = 2 * Math.acos(Math.max(0.5, 1 - (0.45 * within) / radius));
  const count = 4 * Math.ceil(Math.PI / (2 * angle));
  woven(
    p,
    rows,
    rows.map(({ v }) => (at(p, v)[0] < tolerance * 10 ? [0] : even(count))),
    maker,
  );
}

function woven(p: Profile, rows: Row[], cuts: number[][], maker: SkinMaker): void {
  if (p.closed) cuts[cuts.length - 1] = cuts[0]!;
  weave(
    {
      point: (u, v) => turn(p, v, u),
      rows: rows.map((r) => r.v),
      cuts,
      period: 2 * Math.PI,
      face: (i) => p.face[Math.min(p.segments.length - 1, Math.floor(rows[i]!.v + 1e-9))]!,
    },
    maker,
  );
}
