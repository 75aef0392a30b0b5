import type { Face } from '../shapes/solid.js';
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

/** Point a share t of the way from a to b on all of these faces at once, and on further surfaces if given. */
export function between(
  faces: Face[],
  a: Vec3,
  b: Vec3,
  t: number,
  tolerance: number,
  also: Onto[] = [],
): Vec3 {
  const chord: Vec3 = [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])];
  if (faces.length === 1 && also.length === 0 && faces[0]!.between) return faces[0]!.between(a, b, t);
  let [x, y, z] = [0, 0, 0];
  for (const face of faces) {
    const p = face.between?.(a, b, t) ?? chord;
    x += p[0] / faces.length;
    y += p[1] / faces.length;
    z += p[2] / faces.length;
  }
  return ontoAll([x, y, z], [...faces.map((f) => (p: Vec3) => f.closest(p)), ...also], tolerance);
}
