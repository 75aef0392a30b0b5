import type { NearList } from './near-list.js';
import type { Discretisation } from './nodes.js';
import { PanelIntegrator } from './panel-integrator.js';

/**
 * What must be added to the sums over points to make the integrals over near panels right, for observers in one body
 * and panels in another (or the same). Single precision holds the differences; it costs some 1e-7 of the integrals
 * (checked in near.test.ts).
 */
export interface NearBlock {
  readonly list: Pick<NearList, 'rowStart' | 'rowPanel' | 'rowValue'>;
  /** In the order of the rows: single layer, acting on q = dphi/dn [m], then double layer, acting on phi [1]. */
  values(): Float32Array;
  /** Gives back large buffers; the block must not be used afterwards. */
  release?(): void;
}

/** A block and the bodies it joins. */
export interface Placed {
  observers: number;
  sources: number;
  block: NearBlock;
}

export interface NearSum {
  /** Adds the near corrections of all blocks to `out`: single q + double phi. */
  add(q: Float64Array, phi: Float64Array | null, out: Float64Array): void;
  release?(): void;
}

/** How near corrections are computed and used; `plainNear` is the slow path of record, fast/near.ts the quick one. */
export interface NearMaker {
  build(d: Discretisation, list: NearList, observers: number, sources: number): NearBlock;
  sum(d: Discretisation, blocks: readonly Placed[]): NearSum;
}

export const plainNear: NearMaker = {
  build(d, list, observers, sources) {
    const first = d.panels.bodyStart[sources];
    const base = d.nodes.bodyStart[observers];
    const values = new Float32Array(list.values);
    const integrator = new PanelIntegrator(d);
    for (let k = 0; k + 1 < list.start.length; k++) {
      integrator.begin(first + k);
      const count = d.perPanel[first + k];
      for (let e = list.start[k]; e < list.start[k + 1]; e++) {
        integrator.correction(base + list.observer[e], list.how[e]);
        values.set(integrator.single.subarray(0, count), list.slot[e]);
        values.set(integrator.double.subarray(0, count), list.slot[e] + count);
      }
    }
    return { list, values: () => values };
  },
  sum: (d, blocks) => ({
    add(q, phi, out) {
      for (const placed of blocks)
        eachEntry(d, placed, (i, node, count, values, at) => {
          for (let m = 0; m < count; m++) {
            out[i] += values[at + m] * q[node + m];
            if (phi) out[i] += values[at + count + m] * phi[node + m];
          }
        });
    },
  }),
};

/**
 * Calls `visit` for every near pair: observing node, first node and count of nodes of the panel, and where its values
 * stand: single layer at [at, at + count), double layer at [at + count, at + 2 count).
 */
export function eachEntry(
  d: Discretisation,
  { block, observers, sources }: Placed,
  visit: (i: number, node: number, count: number, values: Float32Array, at: number) => void,
): void {
  const { rowStart, rowPanel } = block.list;
  const values = block.values();
  const first = d.panels.bodyStart[sources];
  const base = d.nodes.bodyStart[observers];
  let at = 0;
  for (let i = 0; i + 1 < rowStart.length; i++)
    for (let e = rowStart[i]; e < rowStart[i + 1]; e++) {
      const p = first + rowPanel[e];
      const count = d.perPanel[p];
      visit(base + i, d.nodes.start[p], count, values, at);
      at += 2 * count;
    }
}
