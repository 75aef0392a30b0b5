import {
  add,
  along,
  cross,
  distance,
  dot,
  length,
  perpendicular,
  scale,
  subtract,
  unit,
  type Vec3,
} from './vector.js';

/** The centre line of a wire: straight pieces and bends joined without kinks, counted by arc length s from 0. */
export interface Path {
  length: number;
  pieces: Piece[];
  /** Arc length at the start of each piece. */
  starts: number[];
}

export type Piece =
  | { kind: 'straight'; from: Vec3; to: Vec3; length: number }
  /** centre + radius (e1 cos a + e2 sin a) + axis * climb(a), for a from 0 to `angle`. */
  | Turn;
interface Turn {
  kind: 'turn';
  centre: Vec3;
  e1: Vec3;
  e2: Vec3;
  axis: Vec3;
  radius: number;
  angle: number;
  /** Total climb along the axis [m]; it sets in and ends softly so that the direction has no kink. */
  climb: number;
  length: number;
}

/**
 * Straight lines through points with bends of `bend` [m] centre-line radius, and a full turn at the end if asked for.
 * Undefined where a bend needs more length than there is.
 */
export function pathThrough(
  points: Vec3[],
  bend: number,
  loop?: { radius: number; axis: Vec3; climb: number },
): Path | undefined {
  const pieces: Piece[] = [];
  let at = points[0]!;
  for (let i = 1; i < points.length; i++) {
    const corner = points[i]!;
    const d = unit(subtract(corner, at));
    const next = points[i + 1];
    const e = next ? unit(subtract(next, corner)) : d;
    const turn = Math.acos(Math.min(1, Math.max(-1, dot(d, e))));
    const cut = turn > 1e-6 ? bend * Math.tan(turn / 2) : 0;
    const straight = distance(at, corner) - cut;
    const after = next ? distance(corner, next) : cut;
    if (straight < -1e-12 || after < cut || turn > 3.1) return undefined;
    const end = along(corner, d, -cut);
    if (straight > 1e-9) pieces.push({ kind: 'straight', from: at, to: end, length: straight });
    if (cut > 0) pieces.push(turnPiece(end, d, cross(d, e), bend, turn, 0));
    at = cut > 0 ? along(corner, e, cut) : corner;
  }
  if (loop) {
    const last = points.at(-1)!;
    const d = unit(subtract(last, points.at(-2)!));
    pieces.push(turnPiece(last, d, loop.axis, loop.radius, 2 * Math.PI, loop.climb));
  }
  const starts: number[] = [];
  let total = 0;
  for (const piece of pieces) {
    starts.push(total);
    total += piece.length;
  }
  return { length: total, pieces, starts };
}

/** A turn to the left about the axis (as far as it is square to the direction), starting at `from` in direction d. */
function turnPiece(from: Vec3, d: Vec3, about: Vec3, radius: number, angle: number, climb: number): Turn {
  const square = along(about, d, -dot(about, d));
  const axis = length(square) > 1e-9 * length(about) ? unit(square) : perpendicular(d);
  const inward = cross(axis, d);
  const piece: Turn = {
    kind: 'turn',
    centre: along(from, inward, radius),
    e1: scale(inward, -1),
    e2: d,
    axis,
    radius,
    angle,
    climb,
    length: radius * angle,
  };
  if (climb === 0) return piece;
  let l = 0;
  for (let k = 0; k < 256; k++)
    l += Math.hypot(radius, climbSlope(piece, ((k + 0.5) / 256) * angle)) * (angle / 256);
  return { ...piece, length: l };
}

const climbAt = (t: Turn, a: number): number => {
  const w = (2 * Math.PI) / t.angle;
  return (t.climb * (w * a - Math.sin(w * a))) / (2 * Math.PI);
};
const climbSlope = (t: Turn, a: number): number => {
  const w = (2 * Math.PI) / t.angle;
  return (t.climb * w * (1 - Math.cos(w * a))) / (2 * Math.PI);
};

const onTurn = (t: Turn, a: number): Vec3 =>
  add(
    along(along(t.centre, t.e1, t.radius * Math.cos(a)), t.e2, t.radius * Math.sin(a)),
    scale(t.axis, climbAt(t, a)),
  );

/** Point and unit direction at arc length s; beyond the ends the direction is kept. */
export function pointAt(path: Path, s: number): { point: Vec3; direction: Vec3 } {
  let i = path.pieces.length - 1;
  while (i > 0 && path.starts[i]! > s) i--;
  const piece = path.pieces[i]!;
  const t = Math.min(1, Math.max(0, (s - path.starts[i]!) / piece.length));
  if (piece.kind === 'straight')
    return {
      point: along(piece.from, subtract(piece.to, piece.from), t),
      direction: unit(subtract(piece.to, piece.from)),
    };
  // With a climb the angle is not quite proportional to length; panels do not mind.
  const a = t * piece.angle;
  const direction = unit(
    add(
      along(scale(piece.e1, -piece.radius * Math.sin(a)), piece.e2, piece.radius * Math.cos(a)),
      scale(piece.axis, climbSlope(piece, a)),
    ),
  );
  return { point: onTurn(piece, a), direction };
}

/** Curvature [1/m] of the centre line at s. */
export function bendAt(path: Path, s: number): number {
  let i = path.pieces.length - 1;
  while (i > 0 && path.starts[i]! > s) i--;
  const piece = path.pieces[i]!;
  return piece.kind === 'turn' ? 1 / piece.radius : 0;
}

/** Nearest point of the centre line. */
export function nearestOnPath(path: Path, p: Vec3): { point: Vec3; distance: number } {
  let best = { point: p, distance: Number.POSITIVE_INFINITY };
  for (const piece of path.pieces) {
    const point =
      piece.kind === 'straight' ? nearestOnLine(piece.from, piece.to, p) : nearestOnTurn(piece, p);
    const d = distance(point, p);
    if (d < best.distance) best = { point, distance: d };
  }
  return best;
}

function nearestOnLine(a: Vec3, b: Vec3, p: Vec3): Vec3 {
  const d = subtract(b, a);
  return along(a, d, Math.min(1, Math.max(0, dot(subtract(p, a), d) / dot(d, d))));
}

function nearestOnTurn(t: Turn, p: Vec3): Vec3 {
  const q = subtract(p, t.centre);
  const flat = Math.atan2(dot(q, t.e2), dot(q, t.e1));
  if (t.climb === 0) {
    const a = flat < 0 ? flat + 2 * Math.PI : flat;
    if (a <= t.angle) return onTurn(t, a);
    const [start, end] = [onTurn(t, 0), onTurn(t, t.angle)];
    return distance(start, p) < distance(end, p) ? start : end;
  }
  // The climb is small against the radius, so the nearest point lies near the plane angle or near an end.
  const far = (a: number): number => distance(onTurn(t, a), p);
  let best = 0;
  for (const start of [flat < 0 ? flat + 2 * Math.PI : flat, 0, t.angle]) {
    let a = Math.min(t.angle, start);
    for (let i = 0; i < 8; i++) {
      const [slope, bend] = squareSlope(t, a, p);
      const to = Math.min(t.angle, Math.max(0, a - slope / Math.max(bend, 0.1 * t.radius ** 2)));
      if (Math.abs(to - a) < 1e-13) break;
      a = to;
    }
    if (far(a) < far(best)) best = a;
  }
  return onTurn(t, best);
}

/** First and second derivative by the angle of half the squared distance from p. */
function squareSlope(t: Turn, a: number, p: Vec3): [number, number] {
  const w = (2 * Math.PI) / t.angle;
  const [cos, sin] = [Math.cos(a), Math.sin(a)];
  const d = subtract(onTurn(t, a), p);
  const rise = climbSlope(t, a);
  const first = along(add(scale(t.e1, -t.radius * sin), scale(t.e2, t.radius * cos)), t.axis, rise);
  const steep = (t.climb * w * w * Math.sin(w * a)) / (2 * Math.PI);
  const second = along(add(scale(t.e1, -t.radius * cos), scale(t.e2, -t.radius * sin)), t.axis, steep);
  return [dot(first, d), dot(first, first) + dot(second, d)];
}
