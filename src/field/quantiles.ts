import { basisAt, basisOf } from './basis.js';
import type { Layers } from './layers.js';
import { evaluatePanel } from './panels.js';

/** Shares of the area at which quantiles are printed. */
export const SHARES = [0, 0.01, 0.05, 0.25, 0.5, 0.75, 0.95, 0.99, 1] as const;

/** Cuts a side of a panel is divided into for sampling its polynomial: cuts^2 pieces, each one sample. */
const CUTS = 4;

/** Samples of a nodal quantity over the surface: value and area of each piece. */
export interface Samples {
  value: Float64Array;
  area: Float64Array;
}

/**
 * Values of the polynomial of `nodal` at the middles of 16 equal pieces (in the parameters) of every panel chosen, with
 * the area of each piece. A panel with one node has one value, and gives one sample.
 */
export function samplePanels(
  layers: Layers,
  nodal: Float64Array,
  chosen: (panel: number) => boolean,
): Samples {
  const { panels, nodes, perPanel } = layers.d;
  const value: number[] = [];
  const area: number[] = [];
  const point = new Float64Array(6);
  for (let p = 0; p < panels.count; p++) {
    if (!chosen(p)) continue;
    const first = nodes.start[p];
    const count = perPanel[p] as 1 | 3 | 6;
    if (count === 1) {
      value.push(nodal[first]);
      area.push(nodes.weight[first]);
      continue;
    }
    const basis = basisOf(count);
    for (const [s, t] of pieces()) {
      evaluatePanel(panels.coef, p, s, t, point, 0);
      let sum = 0;
      for (let k = 0; k < count; k++) sum += basisAt(basis, k, s, t) * nodal[first + k];
      value.push(sum);
      area.push(Math.hypot(point[3], point[4], point[5]) / (2 * CUTS * CUTS));
    }
  }
  return { value: Float64Array.from(value), area: Float64Array.from(area) };
}

let middles: [number, number][] | null = null;

function pieces(): [number, number][] {
  if (middles) return middles;
  middles = [];
  for (let i = 0; i < CUTS; i++)
    for (let j = 0; i + j < CUTS; j++) {
      middles.push([(i + 1 / 3) / CUTS, (j + 1 / 3) / CUTS]);
      if (i + j < CUTS - 1) middles.push([(i + 2 / 3) / CUTS, (j + 2 / 3) / CUTS]);
    }
  return middles;
}

/** Area-weighted quantiles of |value| / mean |value|, linear between the middles of the sorted pieces. */
export function quantiles({ value, area }: Samples, shares: readonly number[] = SHARES): number[] {
  const order = Array.from(value.keys()).sort((a, b) => Math.abs(value[a]) - Math.abs(value[b]));
  let total = 0;
  let moment = 0;
  for (let k = 0; k < value.length; k++) {
    total += area[k];
    moment += area[k] * Math.abs(value[k]);
  }
  const mean = moment / total;
  return shares.map((share) => {
    if (order.length === 0 || mean === 0) return 0;
    let below = 0;
    let lastAt = 0;
    let last = Math.abs(value[order[0]]);
    for (const k of order) {
      const at = (below + 0.5 * area[k]) / total;
      const now = Math.abs(value[k]);
      if (at >= share) {
        const part = at > lastAt ? (share - lastAt) / (at - lastAt) : 1;
        return (last + Math.min(1, Math.max(0, part)) * (now - last)) / mean;
      }
      below += area[k];
      lastAt = at;
      last = now;
    }
    return last / mean;
  });
}
