import { buildKdTree, eachWithin } from '../numerics/index.js';
import type { Panels } from './panels.js';

/** Corners closer than this fraction of the size of everything are one. */
const WELD = 1e-8;

/** Number of the welded corner, three a panel. */
export function weldCorners(panels: Panels): Int32Array {
  const n = 3 * panels.count;
  const position = new Float64Array(3 * n);
  const low = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  const high = low.map((v) => -v);
  for (let p = 0; p < panels.count; p++)
    for (let d = 0; d < 3; d++) {
      const c = 18 * p + d;
      const { coef } = panels;
      position[9 * p + d] = coef[c];
      position[9 * p + 3 + d] = coef[c] + coef[c + 3] + coef[c + 9];
      position[9 * p + 6 + d] = coef[c] + coef[c + 6] + coef[c + 15];
      for (let k = 0; k < 3; k++) {
        low[d] = Math.min(low[d], position[9 * p + 3 * k + d]);
        high[d] = Math.max(high[d], position[9 * p + 3 * k + d]);
      }
    }
  const reach = WELD * Math.hypot(high[0] - low[0], high[1] - low[1], high[2] - low[2]);
  const tree = buildKdTree(position, 0, n, 16);
  const corner = new Int32Array(n).fill(-1);
  for (let i = 0; i < n; i++) {
    if (corner[i] >= 0) continue;
    eachWithin(tree, position, position[3 * i], position[3 * i + 1], position[3 * i + 2], reach, (j) => {
      if (corner[j] < 0) corner[j] = i;
    });
  }
  return corner;
}

/** Who meets whom along which edge. */
export interface Edges {
  /** Panels at each edge, at most two kept; `uses` counts all. */
  first: Int32Array;
  second: Int32Array;
  uses: Int32Array;
  /** Edge number of each side of each panel, and whether the panel runs it from the lower corner to the higher. */
  ofSide: Int32Array;
  forward: Uint8Array;
}

export function findEdges(panels: Panels, corner: Int32Array): Edges {
  const n = 3 * panels.count;
  const number = new Map<number, number>();
  const edges: Edges = {
    first: new Int32Array(n).fill(-1),
    second: new Int32Array(n).fill(-1),
    uses: new Int32Array(n),
    ofSide: new Int32Array(n),
    forward: new Uint8Array(n),
  };
  for (let p = 0; p < panels.count; p++)
    for (let k = 0; k < 3; k++) {
      const a = corner[3 * p + k];
      const b = corner[3 * p + ((k + 1) % 3)];
      const key = a < b ? a * n + b : b * n + a;
      let e = number.get(key);
      if (e === undefined) {
        e = number.size;
        number.set(key, e);
      }
      edges.ofSide[3 * p + k] = e;
      edges.forward[3 * p + k] = a < b ? 1 : 0;
      if (edges.uses[e] === 0) edges.first[e] = p;
      else edges.second[e] = p;
      edges.uses[e]++;
    }
  return edges;
}
