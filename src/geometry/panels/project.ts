import { dot, type Vec3 } from '../shapes/vector.js';
import type { Plane } from './size.js';

/** Anything a point can be brought onto: a face, a plane. */
export type Onto = (p: Vec3) => Vec3;

export const ontoPlane =
  (plane: Plane): Onto =>
  (p) => {
    const d = plane.offset - dot(plane.normal, p);
    return [p[0] + d * plane.normal[0], p[1] + d * plane.normal[1], p[2] + d * plane.normal[2]];
  };

/**
 * A point common to several surfaces near p, by projecting onto each in turn. Converges quickly unless they touch at a
 * grazing angle; then it stops at the best found, on the last surface.
 */
export function ontoAll(p: Vec3, surfaces: Onto[], tolerance: number): Vec3 {
  if (surfaces.length === 0) return p;
  let q = p;
  for (let i = 0; i < 200; i++) {
    const before = q;
    for (const onto of surfaces) q = onto(q);
    if (surfaces.length === 1) break;
    if (Math.hypot(q[0] - before[0], q[1] - before[1], q[2] - before[2]) < tolerance) break;
  }
  return q;
}
