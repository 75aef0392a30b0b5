import { type PanelSurface, type Placement, unplace, type Vec3 } from '../geometry/index.js';
import type { Job } from './schema.js';

type Region = Exclude<Job['part']['significant'], 'all'>[number];

/** Whether a point of the part, with its outward normal, lies in a region; both in the part's own coordinates. */
export function inRegion(region: Region, p: Vec3, normal: Vec3): boolean {
  if ('box' in region) {
    const { from, to } = region.box;
    return p.every((x, k) => x >= Math.min(from[k]!, to[k]!) && x <= Math.max(from[k]!, to[k]!));
  }
  if ('sphere' in region) {
    const { centre, radius } = region.sphere;
    return Math.hypot(p[0] - centre[0], p[1] - centre[1], p[2] - centre[2]) <= radius;
  }
  const { direction, within } = region.facing;
  const length = Math.hypot(...direction);
  const along = (normal[0] * direction[0] + normal[1] * direction[1] + normal[2] * direction[2]) / length;
  return along >= Math.cos(within);
}

/** Whether each panel chosen lies in any of the regions, by its middle; `placement` is that of the part. */
export function panelsIn(
  regions: readonly Region[],
  surface: PanelSurface,
  placement: Placement,
  chosen: (panel: number) => boolean,
): Uint8Array {
  const count = surface.panels.length / 6;
  const inside = new Uint8Array(count);
  const spin: Placement = { ...placement, position: [0, 0, 0] };
  for (let p = 0; p < count; p++) {
    if (!chosen(p)) continue;
    const { middle, normal } = middleOf(surface, p);
    // Panels face out of the liquid, that is into the metal: the part's own outward normal is the other way.
    const own = unplace(spin, [-normal[0], -normal[1], -normal[2]]);
    if (regions.some((r) => inRegion(r, unplace(placement, middle), own))) inside[p] = 1;
  }
  return inside;
}

/** Middle of a panel and its unit normal, by its corners. */
function middleOf({ nodes, panels }: PanelSurface, p: number): { middle: Vec3; normal: Vec3 } {
  const at = (k: number, d: number): number => nodes[3 * panels[6 * p + k]! + d]!;
  const u: Vec3 = [at(1, 0) - at(0, 0), at(1, 1) - at(0, 1), at(1, 2) - at(0, 2)];
  const v: Vec3 = [at(2, 0) - at(0, 0), at(2, 1) - at(0, 1), at(2, 2) - at(0, 2)];
  const n: Vec3 = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n) || 1;
  // The quadratic panel's own middle: corners weigh -1/9, mid-sides 4/9.
  const middle = [0, 1, 2].map(
    (d) => (4 * (at(3, d) + at(4, d) + at(5, d)) - (at(0, d) + at(1, d) + at(2, d))) / 9,
  ) as unknown as Vec3;
  return { middle, normal: [n[0] / length, n[1] / length, n[2] / length] };
}
