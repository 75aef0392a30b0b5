import { newell } from '../import/polygon.js';
import { nextCorner } from './edges.js';
import { patchRim } from './patch.js';
import type { RepairLog } from './report.js';
import { faceArea, type Shells } from './shells.js';
import { appendTriangles, type Soup } from './soup.js';

/**
 * A hole is closed without asking only where that cannot mislead: its patch is at most 0.1 % of the area of its shell
 * (less than any area here is known to), or it is one missing triangle of at most 2 %. Everything else stays open and
 * is told: a tube end or a lost face is for the person to judge. Our own rule, no source.
 */
const SMALL_PATCH = 1e-3;
const ONE_TRIANGLE = 0.02;

export interface Hole {
  /** Vertex numbers around the rim, such that a face wound like this closes it. */
  rim: number[];
  shell: number;
  /** Half the length of Newell's vector: the area of the flattened outline, in file units squared. */
  area: number;
}

/** The rims of all holes; neighbouring faces must be wound alike. */
export function findHoles({ triangles, vertices }: Soup, { mate, shell }: Shells): Hole[] {
  const seen = new Uint8Array(mate.length);
  const holes: Hole[] = [];
  for (let first = 0; first < mate.length; first++) {
    if (mate[first]! >= 0 || seen[first]) continue;
    const walk: number[] = [];
    for (let h = first; !seen[h]; h = nextOnRim(mate, h)) {
      seen[h] = 1;
      walk.push(triangles[h]!);
    }
    for (const loop of simpleLoops(walk)) {
      const rim = loop.reverse();
      holes.push({ rim, shell: shell[(first / 3) | 0]!, area: Math.hypot(...newell(rim, vertices)) / 2 });
    }
  }
  return holes;
}

function nextOnRim(mate: Int32Array, h: number): number {
  let g = nextCorner(h);
  for (let turns = 0; mate[g]! >= 0 && turns < mate.length; turns++) g = nextCorner(mate[g]!);
  return g;
}

/** Cuts a closed walk where it comes back to a vertex: holes that touch at a point are two holes. */
function simpleLoops(walk: number[]): number[][] {
  const loops: number[][] = [];
  const path: number[] = [];
  const place = new Map<number, number>();
  for (const v of walk) {
    const back = place.get(v);
    if (back !== undefined) {
      const loop = path.splice(back);
      for (const w of loop) place.delete(w);
      if (loop.length > 2) loops.push(loop);
    }
    place.set(v, path.length);
    path.push(v);
  }
  if (path.length > 2) loops.push(path);
  return loops;
}

/** Fills the holes that fall under the rule above. */
export function closeSmallHoles(soup: Soup, shells: Shells, holes: Hole[], log: RepairLog): Soup {
  if (holes.length === 0) return soup;
  const { vertices, triangles, group } = soup;
  const shellArea = new Float64Array(shells.count);
  for (let t = 0; t < group.length; t++) shellArea[shells.shell[t]!]! += faceArea(vertices, triangles, t);
  // A patch is grouped and counted like the first face of its shell.
  const lead = new Int32Array(shells.count).fill(-1);
  for (let t = group.length - 1; t >= 0; t--) lead[shells.shell[t]!] = t;
  const added: number[] = [];
  const from: number[] = [];
  for (const hole of holes) {
    // The flattened outline is the least any patch can have; large holes need no closer look.
    if (hole.rim.length > 3 && hole.area > SMALL_PATCH * shellArea[hole.shell]!) continue;
    const corners = Uint32Array.from(patchRim(hole.rim, vertices));
    let area = 0;
    for (let t = 0; t < corners.length / 3; t++) area += faceArea(vertices, corners, t);
    const share = area / shellArea[hole.shell]!;
    if (!(share <= SMALL_PATCH || (hole.rim.length === 3 && share <= ONE_TRIANGLE))) continue;
    for (const v of corners) added.push(v);
    for (let t = 0; t < corners.length / 3; t++) from.push(lead[hole.shell]!);
    log.add('holes-closed');
  }
  if (added.length === 0) return soup;
  const patches: Soup = {
    vertices,
    triangles: Uint32Array.from(added),
    group: Int32Array.from(from, (t) => group[t]!),
    turned: Uint8Array.from(from, (t) => soup.turned[t]!),
  };
  return appendTriangles(soup, patches);
}
