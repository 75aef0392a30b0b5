import type { Panels } from '../panels/measure.js';
import { FINENESS, type Quality, SLIT } from '../panels/size.js';
import type { Placed } from '../shapes/placed.js';
import { distance, type Vec3 } from '../shapes/vector.js';
import type { Cavity } from './vessel.js';

/**
 * Distance from a point of body `self` (-1 the wall) to the nearest other thing: another body, the wall, or the body's
 * own mirror image in the liquid surface when all of it is under. Bodies joined to it do not count.
 */
export function gapFunction(
  self: number,
  bodies: Placed[],
  joined: (i: number, j: number) => boolean,
  cavity: Cavity | undefined,
  under: number | undefined,
): (p: Vec3) => number {
  const others = bodies.filter((_, j) => j !== self && (self < 0 || !joined(self, j)));
  return (p) => {
    let least = self >= 0 && cavity ? Math.max(0, cavity.distance(p)) : Infinity;
    if (under !== undefined) least = Math.min(least, Math.max(0, 2 * (under - p[2])));
    for (const other of others) {
      const c = other.centre;
      const bound = Math.hypot(p[0] - c[0], p[1] - c[1], p[2] - c[2]) - other.reach;
      if (bound < least) least = Math.min(least, Math.abs(other.distance(p)));
    }
    return least;
  };
}

/** Panels may be this much coarser than asked before they are made anew. */
const SLACK = 1.6;

/** Whether existing panels are still fine enough for what now stands near them. */
export function fineEnough(skin: Panels, quality: Quality, gap: (p: Vec3) => number, wall: boolean): boolean {
  const allowed = FINENESS[quality].gap * SLACK;
  const { nodes, panels } = skin;
  // No maker goes below this, however narrow the gap.
  const extents = [0, 1, 2].map((d) => spread(nodes, d));
  const girth = wall ? 0.4 * Math.max(...extents) : Math.min(Math.max(...extents), 2 * Math.min(...extents));
  const least = SLACK * SLIT * FINENESS[quality].edge * girth;
  const node = (i: number): Vec3 => [nodes[3 * i]!, nodes[3 * i + 1]!, nodes[3 * i + 2]!];
  for (let t = 0; t < panels.length; t += 6) {
    const [a, b, c] = [node(panels[t]!), node(panels[t + 1]!), node(panels[t + 2]!)];
    const sides = [distance(a, b), distance(b, c), distance(c, a)].sort((x, y) => y - x);
    // The longest side of half a rectangle is its diagonal; the second is what the size rule speaks of.
    if (sides[1]! <= least) continue;
    const near = Math.min(...[3, 4, 5].map((k) => gap(node(panels[t + k]!))));
    if (sides[1]! > allowed * near) return false;
  }
  return true;
}

/** Extent of points along one axis [m]. */
function spread(nodes: Float64Array, d: number): number {
  let [low, high] = [Infinity, -Infinity];
  for (let i = d; i < nodes.length; i += 3) {
    low = Math.min(low, nodes[i]!);
    high = Math.max(high, nodes[i]!);
  }
  return high - low;
}
