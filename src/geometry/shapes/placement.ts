import type { Placement } from './shape.js';
import { cross, scale, unit, type Vec3 } from './vector.js';

export type Quaternion = readonly [number, number, number, number];

/** Turn by an angle [rad] about an axis (right-handed). */
export function turnAbout(axis: Vec3, angle: number): Quaternion {
  const s = scale(unit(axis), Math.sin(angle / 2));
  return [s[0], s[1], s[2], Math.cos(angle / 2)];
}

/** First `inner`, then `outer`. */
export function combine(outer: Placement, inner: Placement): Placement {
  const [a, b] = [outer.turn ?? STILL, inner.turn ?? STILL];
  const [x, y, z] = cross([a[0], a[1], a[2]], [b[0], b[1], b[2]]);
  return {
    position: place(outer, inner.position),
    turn: [
      a[3] * b[0] + b[3] * a[0] + x,
      a[3] * b[1] + b[3] * a[1] + y,
      a[3] * b[2] + b[3] * a[2] + z,
      a[3] * b[3] - a[0] * b[0] - a[1] * b[1] - a[2] * b[2],
    ],
  };
}

const STILL: Quaternion = [0, 0, 0, 1];

/** From the shape's own coordinates to the vessel's. */
export function place(at: Placement, p: Vec3): Vec3 {
  const [x, y, z] = at.turn ? rotate(at.turn, p) : p;
  return [x + at.position[0], y + at.position[1], z + at.position[2]];
}

/** From the vessel's coordinates to the shape's own. */
export function unplace(at: Placement, p: Vec3): Vec3 {
  const q: Vec3 = [p[0] - at.position[0], p[1] - at.position[1], p[2] - at.position[2]];
  return at.turn ? rotate([-at.turn[0], -at.turn[1], -at.turn[2], at.turn[3]], q) : q;
}

/** Rotates by a quaternion, normalised on the way. */
export function rotate(q: Quaternion, p: Vec3): Vec3 {
  const n = 2 / (q[0] ** 2 + q[1] ** 2 + q[2] ** 2 + q[3] ** 2);
  const v: Vec3 = [q[0], q[1], q[2]];
  const t = cross(v, p);
  const u = cross(v, t);
  return [p[0] + n * (q[3] * t[0] + u[0]), p[1] + n * (q[3] * t[1] + u[1]), p[2] + n * (q[3] * t[2] + u[2])];
}
