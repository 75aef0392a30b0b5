import {
  divide,
  FINENESS,
  gapAt,
  limitGrowth,
  noFinerThan,
  type Plane,
  type SizeRequest,
  sizeAround,
  type Wish,
} from '../panels/size.js';
import { type Skin, SkinMaker } from '../panels/skin.js';
import { even, weave } from '../panels/weave.js';
import { bendAt, nearestOnPath, type Path, pathThrough, pointAt } from './path.js';
import type { Shape } from './shape.js';
import type { Solid } from './solid.js';
import { along, cross, dot, perpendicular, subtract, unit, type Vec3 } from './vector.js';

type Wire = Extract<Shape, { kind: 'wire' }>;

/** Centre line of a wire; undefined where its bends do not fit. */
export function wirePath(wire: Wire): Path | undefined {
  const loop = wire.loop && {
    radius: wire.loop.diameter / 2,
    axis: wire.loop.axis,
    climb: 1.15 * wire.diameter,
  };
  return pathThrough(wire.path, wire.bend ?? 1.5 * wire.diameter, loop);
}

/** A round wire: a tube about its centre line with half-sphere ends. Area and volume by Pappus, exact for a round section. */
export function wireSolid(wire: Wire): Solid {
  const path = wirePath(wire);
  if (!path) throw new Error('bends do not fit; check the shape first');
  const radius = wire.diameter / 2;
  const tolerance = 1e-9 * path.length;
  const ends = path.pieces.map((_, i) => pointAt(path, path.starts[i]!).point);
  const samples = Array.from({ length: 257 }, (_, k) => pointAt(path, (k / 256) * path.length).point).concat(
    ends,
  );
  const low = (k: 0 | 1 | 2): number => Math.min(...samples.map((p) => p[k])) - radius;
  const high = (k: 0 | 1 | 2): number => Math.max(...samples.map((p) => p[k])) + radius;
  return {
    faces: [
      {
        closest: (p) => {
          const { point } = nearestOnPath(path, p);
          const out = unit(subtract(p, point));
          return along(point, dot(out, out) > 0 ? out : perpendicular(pointAt(path, 0).direction), radius);
        },
      },
    ],
    distance: (p) => nearestOnPath(path, p).distance - radius,
    panels: (request) => panels(path, radius, noFinerThan(request, 0.5 * radius), tolerance),
    tessellate: (within) => facets(path, radius, within, tolerance),
    area: 2 * Math.PI * radius * path.length + 4 * Math.PI * radius ** 2,
    volume: Math.PI * radius ** 2 * path.length + (4 / 3) * Math.PI * radius ** 3,
    tolerance,
    bounds: { min: [low(0), low(1), low(2)], max: [high(0), high(1), high(2)] },
  };
}

/**
 * Map of the skin: v runs along the centre line, below 0 and above its length over the round ends. The frame is carried
 * along without twist (double reflection, Wang et al., ACM Trans. Graph. 27 (2008) 2; from memory).
 */
function skinMap(path: Path, radius: number): (u: number, v: number) => Vec3 {
  const steps = 64 + 16 * path.pieces.length;
  const frames: { point: Vec3; direction: Vec3; side: Vec3 }[] = [];
  for (let k = 0; k <= steps; k++) {
    const here = pointAt(path, (k / steps) * path.length);
    const before = frames[k - 1];
    const side = before ? carry(before, here) : perpendicular(here.direction);
    frames.push({ ...here, side });
  }
  return (u, v) => {
    const s = Math.min(path.length, Math.max(0, v));
    const here = pointAt(path, s);
    const near = frames[Math.min(steps, Math.round((s / path.length) * steps))]!;
    const n = unit(along(near.side, here.direction, -dot(near.side, here.direction)));
    const b = cross(here.direction, n);
    const over = (v - s) / radius;
    const rim = radius * Math.cos(over);
    const out = along(along(here.point, n, rim * Math.cos(u)), b, rim * Math.sin(u));
    return along(out, here.direction, radius * Math.sin(over));
  };
}

function carry(
  before: { point: Vec3; direction: Vec3; side: Vec3 },
  here: { point: Vec3; direction: Vec3 },
): Vec3 {
  const mirror = (p: Vec3, normal: Vec3): Vec3 => {
    const n2 = dot(normal, normal);
    return n2 > 0 ? along(p, normal, (-2 * dot(p, normal)) / n2) : p;
  };
  const step = subtract(here.point, before.point);
  const side = mirror(before.side, step);
  const direction = mirror(before.direction, step);
  return mirror(side, subtract(here.direction, direction));
}

/** Range of v below a plane, where the wire crosses it square at a straight end; otherwise all of it. */
function rangeBelow(path: Path, cap: number, below: Plane | undefined): [number, number] {
  const whole: [number, number] = [-cap, path.length + cap];
  if (!below) return whole;
  const level = (p: Vec3): number => dot(below.normal, p) - below.offset;
  for (const [piece, start, end] of [
    [path.pieces[0]!, 0, true],
    [path.pieces.at(-1)!, path.starts.at(-1)!, false],
  ] as const) {
    if (piece.kind !== 'straight') continue;
    const d = unit(subtract(piece.to, piece.from));
    const [a, b] = [level(piece.from), level(piece.to)];
    if (Math.abs(Math.abs(dot(d, below.normal)) - 1) > 1e-12 || a * b >= 0) continue;
    const s = start + (piece.length * a) / (a - b);
    // The end that sticks out must be the end of the wire.
    if (end && a > 0) whole[0] = s;
    if (!end && b > 0) whole[1] = s;
  }
  return whole;
}

function panels(path: Path, radius: number, request: SizeRequest, tolerance: number): Skin {
  const f = FINENESS[request.quality];
  const cap = (radius * Math.PI) / 2;
  const map = skinMap(path, radius);
  const [from, to] = rangeBelow(path, cap, request.below);
  const breaks = [from, ...[0, ...path.starts.slice(1), path.length].filter((s) => s > from && s < to), to];
  const wishes: Wish[] = [];
  for (let i = 0; i + 1 < breaks.length; i++)
    for (let k = 0; k <= 24; k++) {
      const v = breaks[i]! + (k / 24) * (breaks[i + 1]! - breaks[i]!);
      const middle = breaks[i]! + ((k + 0.5) / 25) * (breaks[i + 1]! - breaks[i]!);
      let h = Math.min(30 * f.around * radius, bendLength(f.bend, bendAt(path, middle), radius));
      if (v < 0 || v > path.length) h = Math.min(h, f.bend * radius);
      if (request.gap)
        for (let u = 0; u < 4; u++) h = Math.min(h, f.gap * gapAt(request, map((u * Math.PI) / 2, v)));
      wishes.push({ s: v, h: Math.max(h, 0.02 * radius) });
    }
  limitGrowth(wishes, f.growth);
  const rows = [from];
  for (let i = 0; i + 1 < breaks.length; i++)
    rows.push(...divide(wishes.slice(25 * i, 25 * i + 25), breaks[i]!, breaks[i + 1]!).slice(1));
  const gap = Math.min(...rows.map((v) => gapAt(request, map(0, v))));
  const wanted = (2 * Math.PI * radius) / Math.max(sizeAround(f, radius, gap), 0.25 * radius);
  const count = Math.max(6, 2 * Math.ceil(wanted / 2 - 0.1));
  return woven(map, rows, path, cap, count, tolerance);
}

function facets(path: Path, radius: number, within: number, tolerance: number): Skin {
  const angle = 2 * Math.acos(Math.max(0.5, 1 - (0.5 * within) / radius));
  const cap = (radius * Math.PI) / 2;
  const rows: number[] = [];
  const span = (from: number, to: number, step: number): void => {
    const n = Math.max(1, Math.ceil((to - from) / step));
    for (let k = 0; k < n; k++) rows.push(from + (k / n) * (to - from));
  };
  span(-cap, 0, angle * radius);
  path.pieces.forEach((piece, i) => {
    const reach = piece.kind === 'turn' ? piece.radius + radius : 0;
    const step =
      reach > 0 ? 2 * Math.acos(Math.max(0.5, 1 - (0.5 * within) / reach)) * (reach - radius) : Infinity;
    span(path.starts[i]!, path.starts[i]! + piece.length, step);
  });
  span(path.length, path.length + cap, angle * radius);
  rows.push(path.length + cap);
  const count = 2 * Math.ceil(Math.PI / angle);
  return woven(skinMap(path, radius), rows, path, cap, count, tolerance);
}

function woven(
  map: (u: number, v: number) => Vec3,
  rows: number[],
  path: Path,
  cap: number,
  count: number,
  tolerance: number,
): Skin {
  const maker = new SkinMaker();
  const pole = (v: number): boolean => v < -cap * (1 - 1e-9) || v > path.length + cap * (1 - 1e-9);
  weave(
    {
      point: map,
      rows,
      cuts: rows.map((v) => (pole(v) ? [0] : even(count))),
      period: 2 * Math.PI,
      face: () => 0,
    },
    maker,
  );
  return maker.finish(tolerance);
}

/** Length one panel may take of a bend: its chord must stay inside the wire, or its middle lands on the wrong side. */
const bendLength = (most: number, curvature: number, radius: number): number =>
  curvature === 0
    ? Number.POSITIVE_INFINITY
    : Math.min(most, 2 * Math.acos(Math.max(-1, 1 - 0.75 * radius * curvature))) / curvature;
