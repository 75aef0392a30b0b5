import { eachWithin, type KdTree } from '../numerics/index.js';
import type { Discretisation } from './nodes.js';

/**
 * An observer within this many radii of a panel's centre is near to it, by the panel's number of nodes: the richer its
 * rule, the closer it may be used. Measured on the ring of docs/theory/field.md: halving what lies beyond changes the
 * resistance by 0.01 %, the quantiles by less than the panels themselves err.
 */
export const NEAR: Readonly<Record<number, number>> = { 1: 3, 3: 2.3, 6: 1.7 };

/** How an observer is near a panel: itself, or by its image behind the mirror (bits; it may be both). */
export const DIRECT = 1;
export const MIRRORED = 2;

/**
 * Which nodes of one body are near which panels of one body. Nodes and panels are counted within their bodies, so that a
 * list survives when other bodies change. By panel, for integrating; and by observer, for the sums.
 */
export interface NearList {
  /** Panel k has the entries [start[k], start[k + 1]). Each: the observer, how it is near, where its values begin. */
  start: Int32Array;
  observer: Int32Array;
  how: Uint8Array;
  slot: Int32Array;
  /** The same by observer: panels rowPanel[rowStart[i]..rowStart[i + 1]), whose values stand in that order. */
  rowStart: Int32Array;
  rowPanel: Int32Array;
  rowValue: Int32Array;
  /** Count of values: of each entry the single layer by node of the panel, then the double layer. */
  values: number;
}

export function findNear(d: Discretisation, observers: KdTree, ofBody: number, sourceBody: number): NearList {
  const { bodyStart } = d.panels;
  const first = bodyStart[sourceBody];
  const panels = bodyStart[sourceBody + 1] - first;
  const base = d.nodes.bodyStart[ofBody];
  const count = d.nodes.bodyStart[ofBody + 1] - base;
  const list = new Growing(count, base);
  const start = new Int32Array(panels + 1);
  for (let k = 0; k < panels; k++) {
    findObservers(d, observers, first + k, list);
    start[k + 1] = list.length;
  }
  return {
    start,
    observer: list.node.slice(0, list.length),
    how: list.how.slice(0, list.length),
    ...byObserver(start, list, count, d.perPanel.subarray(first, first + panels)),
  };
}

function byObserver(start: Int32Array, list: Growing, observers: number, perPanel: Uint8Array) {
  const rowStart = new Int32Array(observers + 1);
  const rowValue = new Int32Array(observers + 1);
  for (let k = 0; k + 1 < start.length; k++)
    for (let e = start[k]; e < start[k + 1]; e++) {
      rowStart[list.node[e] + 1]++;
      rowValue[list.node[e] + 1] += 2 * perPanel[k];
    }
  for (let i = 0; i < observers; i++) {
    rowStart[i + 1] += rowStart[i];
    rowValue[i + 1] += rowValue[i];
  }
  const rowPanel = new Int32Array(list.length);
  const slot = new Int32Array(list.length);
  const nextEntry = rowStart.slice();
  const nextValue = rowValue.slice();
  for (let k = 0; k + 1 < start.length; k++)
    for (let e = start[k]; e < start[k + 1]; e++) {
      const i = list.node[e];
      rowPanel[nextEntry[i]++] = k;
      slot[e] = nextValue[i];
      nextValue[i] += 2 * perPanel[k];
    }
  return { slot, rowStart, rowPanel, rowValue, values: rowValue[observers] };
}

/** Observers of panel after panel, and how each is near: directly, by its mirror image, or both. */
class Growing {
  node = new Int32Array(1024);
  how = new Uint8Array(1024);
  length = 0;
  /** Where each node was last put, to find it again when its image is near too. */
  private readonly place: Int32Array;
  private panelStart = 0;

  constructor(
    nodes: number,
    private readonly base: number,
  ) {
    this.place = new Int32Array(nodes).fill(-1);
  }

  begin(): void {
    this.panelStart = this.length;
  }

  add(node: number, how: number): void {
    const i = node - this.base;
    const known = this.place[i];
    if (known >= this.panelStart) {
      this.how[known] |= how;
      return;
    }
    if (this.length === this.node.length) {
      const wider = new Int32Array(2 * this.length);
      const wide = new Uint8Array(2 * this.length);
      wider.set(this.node);
      wide.set(this.how);
      this.node = wider;
      this.how = wide;
    }
    this.place[i] = this.length;
    this.node[this.length] = i;
    this.how[this.length++] = how;
  }
}

/** Appends the nodes near panel p, directly or by their mirror image. */
function findObservers(d: Discretisation, tree: KdTree, p: number, list: Growing): void {
  const { centre, radius } = d.panels;
  const { position, mirrorHeight } = d.nodes;
  const reach = NEAR[d.perPanel[p]] * radius[p];
  const [x, y, z] = [centre[3 * p], centre[3 * p + 1], centre[3 * p + 2]];
  list.begin();
  eachWithin(tree, position, x, y, z, reach, (i) => list.add(i, DIRECT));
  if (mirrorHeight === undefined || Math.abs(mirrorHeight - z) > reach) return;
  eachWithin(tree, position, x, y, 2 * mirrorHeight - z, reach, (i) => list.add(i, MIRRORED));
}
