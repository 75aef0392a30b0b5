import { fillFlat, type Rim } from '../panels/fill.js';
import { isotropic } from '../panels/remesh/metric.js';
import { FINENESS } from '../panels/size.js';
import type { Vec2 } from '../shapes/vector.js';
import type { PanelSurface } from '../surface.js';
import type { Domain } from './domain.js';

/** Name of the patch of the liquid surface in the closed surface. */
export const LIQUID_SURFACE = 'liquid surface';

/**
 * The same domain with the liquid surface as panels instead of a mirror: closed all around, for export and for checking
 * the mirror. The new panels meet the rims of wall and bodies node by node; they are a patch and a block of their own.
 */
export function closedSurface(domain: Domain): PanelSurface {
  const { surface, mirrorHeight: height } = domain;
  if (height === undefined) return surface;
  const { nodes, panels } = surface;
  const rims = rimsOf(surface).map((rim) => ({
    nodes: rim,
    corners: rim.map(([a]) => [nodes[3 * a]!, nodes[3 * a + 1]!] as Vec2),
    mids: rim.map(([, m]) => [nodes[3 * m]!, nodes[3 * m + 1]!] as Vec2),
  }));
  // The wall's rim is the largest; it comes first.
  rims.sort((a, b) => Math.abs(turnedArea(b.corners)) - Math.abs(turnedArea(a.corners)));
  const f = FINENESS[domain.quality];
  const size = 2 * Math.sqrt(Math.abs(turnedArea(rims[0]!.corners)) / Math.PI);
  const sides = rims.flatMap((r) =>
    r.corners.map((c, k) => ({ at: r.mids[k]!, h: apart(c, r.corners[(k + 1) % r.corners.length]!) })),
  );
  const filled = fillFlat(rims.map(wound), (q) =>
    isotropic(sides.reduce((h, s) => Math.min(h, s.h + f.growth * apart(s.at, q)), 2 * f.largest * size)),
  );
  const number = new Map<string, number>();
  for (const rim of rims)
    rim.nodes.forEach(([a, m]) => {
      for (const n of [a, m]) number.set(`${nodes[3 * n]},${nodes[3 * n + 1]}`, n);
    });
  const added: number[] = [];
  const nodeAt = (q: Vec2): number => {
    const name = `${q[0]},${q[1]}`;
    const known = number.get(name);
    if (known !== undefined) return known;
    const made = (nodes.length + added.length) / 3;
    added.push(q[0], q[1], height);
    number.set(name, made);
    return made;
  };
  const more = filled.flatMap((panel) => panel.map(nodeAt));
  const [patch, body] = [surface.patchNames.length, domain.blocks.length];
  return {
    nodes: Float64Array.from([...nodes, ...added]),
    panels: Int32Array.from([...panels, ...more]),
    patch: Int32Array.from([...surface.patch, ...filled.map(() => patch)]),
    body: Int32Array.from([...surface.body, ...filled.map(() => body)]),
    patchNames: [...surface.patchNames, LIQUID_SURFACE],
  };
}

/** Open sides joined to loops: for each side its start and middle node. */
function rimsOf({ panels }: PanelSurface): [number, number][][] {
  const open = new Map<string, [number, number, number]>();
  for (let t = 0; t < panels.length; t += 6)
    for (let k = 0; k < 3; k++) {
      const [a, b, m] = [panels[t + k]!, panels[t + ((k + 1) % 3)]!, panels[t + 3 + k]!];
      if (!open.delete(`${b},${a}`)) open.set(`${a},${b}`, [a, m, b]);
    }
  const from = new Map<number, [number, number, number]>();
  for (const side of open.values()) from.set(side[0], side);
  const loops: [number, number][][] = [];
  while (from.size > 0) {
    const loop: [number, number][] = [];
    let side = from.values().next().value;
    while (side) {
      from.delete(side[0]);
      loop.push([side[0], side[1]]);
      side = from.get(side[2]);
    }
    loops.push(loop);
  }
  return loops;
}

const apart = (a: Vec2, b: Vec2): number => Math.hypot(a[0] - b[0], a[1] - b[1]);

const turnedArea = (corners: Vec2[]): number =>
  corners.reduce((sum, a, k) => {
    const b = corners[(k + 1) % corners.length]!;
    return sum + (a[0] * b[1] - a[1] * b[0]) / 2;
  }, 0);

/** The outer rim counter-clockwise, holes clockwise. */
function wound(rim: Rim, i: number): Rim {
  if (turnedArea(rim.corners) > 0 === (i === 0)) return rim;
  const corners = [...rim.corners].reverse();
  // The side after the last corner stays last.
  const mids = [...rim.mids].reverse();
  return { corners, mids: [...mids.slice(1), mids[0]!] };
}
