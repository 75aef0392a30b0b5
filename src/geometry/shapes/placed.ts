import type { Skin } from '../panels/skin.js';
import { place, unplace } from './placement.js';
import type { Placement } from './shape.js';
import type { Face, Solid } from './solid.js';
import { distance, type Vec3 } from './vector.js';

/** A solid where it stands: every question in the vessel's coordinates. */
export interface Placed {
  solid: Solid;
  placement: Placement;
  faces: Face[];
  distance(p: Vec3): number;
  /** Nearest point of the skin. */
  closest(p: Vec3): Vec3;
  /** Ball around the body. */
  centre: Vec3;
  reach: number;
}

export function placed(solid: Solid, placement: Placement): Placed {
  const { min, max } = solid.bounds;
  const faces = solid.faces.map((face) => ({
    closest: (p: Vec3) => place(placement, face.closest(unplace(placement, p))),
    ...(face.between && {
      between: (a: Vec3, b: Vec3, t: number) =>
        place(placement, face.between!(unplace(placement, a), unplace(placement, b), t)),
    }),
  }));
  return {
    solid,
    placement,
    faces,
    distance: (p) => solid.distance(unplace(placement, p)),
    closest: (p) => {
      let best = p;
      let least = Number.POSITIVE_INFINITY;
      for (const face of faces) {
        const q = face.closest(p);
        const d = distance(p, q);
        if (d < least) [best, least] = [q, d];
      }
      return best;
    },
    centre: place(placement, [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2]),
    reach: distance(min, max) / 2,
  };
}

/** Panels where the body stands. */
export const moved = (skin: Skin, placement: Placement): Skin => {
  const nodes = new Float64Array(skin.nodes.length);
  for (let i = 0; i < nodes.length; i += 3)
    nodes.set(place(placement, [skin.nodes[i]!, skin.nodes[i + 1]!, skin.nodes[i + 2]!]), i);
  return { ...skin, nodes };
};
