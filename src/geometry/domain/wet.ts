import type { Watch } from '../../numerics/index.js';
import { cutBelow } from '../panels/cut.js';
import { ontoAll, ontoPlane } from '../panels/project.js';
import type { Plane, Quality } from '../panels/size.js';
import type { Skin } from '../panels/skin.js';
import { moved, type Placed } from '../shapes/placed.js';
import { place, rotate } from '../shapes/placement.js';
import { distance, type Vec3 } from '../shapes/vector.js';

/** Lowest and highest point of a body along z, to the accuracy of its panels. */
export const heights = (nodes: Float64Array): [number, number] => {
  let [low, high] = [Infinity, -Infinity];
  for (let i = 2; i < nodes.length; i += 3)
    [low, high] = [Math.min(low, nodes[i]!), Math.max(high, nodes[i]!)];
  return [low, high];
};

/** Panels of a placed body below a liquid height, in the vessel's coordinates. */
export function wetPanels(
  body: Placed,
  quality: Quality,
  gap: (p: Vec3) => number,
  liquid: number | undefined,
  watch?: Watch,
): Skin {
  const { solid, placement } = body;
  const local = placement.turn
    ? rotate([-placement.turn[0], -placement.turn[1], -placement.turn[2], placement.turn[3]], [0, 0, 1])
    : ([0, 0, 1] as Vec3);
  const skin = solid.panels({
    quality,
    gap: (p) => gap(place(placement, p)),
    ...(watch && { watch }),
    ...(liquid !== undefined && { below: { normal: local, offset: liquid - placement.position[2] } }),
  });
  const standing = moved(skin, placement);
  if (liquid === undefined) return standing;
  const plane: Plane = { normal: [0, 0, 1], offset: liquid };
  const wet = cutBelow(standing, body.faces, plane, solid.tolerance);
  for (let i = 2; i < wet.nodes.length; i += 3)
    if (Math.abs(wet.nodes[i]! - liquid) < 100 * solid.tolerance) wet.nodes[i] = liquid;
  return wet;
}

/**
 * Smallest gap between the nodes of one body and another, refined by projecting to and fro; zero or less where they
 * touch or overlap. Returns the two points.
 */
export function gapBetween(a: Placed, nodes: Float64Array, b: Placed): { gap: number; at: Vec3; to: Vec3 } {
  const far = distance(a.centre, b.centre) - a.reach - b.reach;
  const starts: { d: number; p: Vec3 }[] = [];
  for (let i = 0; i < nodes.length; i += 3) {
    const p: Vec3 = [nodes[i]!, nodes[i + 1]!, nodes[i + 2]!];
    // A rough gap is enough far away; the ball bound spares most of the work.
    if (far > a.reach + b.reach && i % 15 !== 0) continue;
    starts.push({ d: b.distance(p), p });
  }
  starts.sort((x, y) => x.d - y.d);
  let best = { gap: Infinity, at: a.centre, to: b.centre };
  for (const { d, p } of starts.slice(0, 6)) {
    if (d <= 0) return { gap: d, at: p, to: b.closest(p) };
    const at = ontoAll(p, [b.closest, a.closest], 1e-9 * a.reach);
    const to = b.closest(at);
    const gap = Math.min(d, distance(at, to));
    if (gap < best.gap) best = { gap, at: gap === d ? p : at, to };
  }
  return best;
}

export const inPlane = (height: number) => ontoPlane({ normal: [0, 0, 1], offset: height });
