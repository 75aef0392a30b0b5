import { basisOf } from './basis.js';
import type { PointCloud } from './operator.js';
import { evaluatePanel, type Panels } from './panels.js';

/** The collocation nodes of all panels, in panel order; node k of panel p is start[p] + k. */
export interface Nodes extends PointCloud {
  /** Wetted area weight [m2]; the sum over a panel is its area as the rule sees it, twice that for an open sheet. */
  weight: Float64Array;
  /** Panel (sorted number) each node belongs to. */
  panel: Int32Array;
  /** First node of each panel; start[count of panels] = count of nodes. */
  start: Int32Array;
}

/**
 * @param perPanel nodes of each panel: 1, 3 or 6
 * @param sign +1 where the area vector x_s cross x_t points out of the electrolyte, -1 where it points in
 * @param sheet 1 for panels of an open sheet, wetted on both faces
 */
export function buildNodes(
  panels: Panels,
  perPanel: Uint8Array,
  sign: Int8Array,
  sheet: Uint8Array,
  mirrorHeight: number | undefined,
): Nodes {
  const start = new Int32Array(panels.count + 1);
  for (let p = 0; p < panels.count; p++) start[p + 1] = start[p] + perPanel[p];
  const count = start[panels.count];
  const nodes: Nodes = {
    count,
    position: new Float64Array(3 * count),
    normal: new Float64Array(3 * count),
    weight: new Float64Array(count),
    panel: new Int32Array(count),
    start,
    bodyStart: panels.bodyStart.map((p) => start[p]),
    ...(mirrorHeight === undefined ? {} : { mirrorHeight }),
  };
  const point = new Float64Array(6);
  for (let p = 0; p < panels.count; p++) {
    const { rule } = basisOf(perPanel[p] as 1 | 3 | 6);
    for (let k = 0; k < perPanel[p]; k++) {
      const i = start[p] + k;
      evaluatePanel(panels.coef, p, rule.s[k], rule.t[k], point, 0);
      const jacobian = Math.hypot(point[3], point[4], point[5]);
      for (let d = 0; d < 3; d++) {
        nodes.position[3 * i + d] = point[d];
        nodes.normal[3 * i + d] = (sign[p] * point[3 + d]) / jacobian;
      }
      nodes.weight[i] = rule.w[k] * jacobian * (1 + sheet[p]);
      nodes.panel[i] = p;
    }
  }
  return nodes;
}

/** Panels with their nodes: all that integrals need to know of a geometry. */
export interface Discretisation {
  panels: Panels;
  nodes: Nodes;
  /** Nodes a panel. */
  perPanel: Uint8Array;
  /** +1 where the panel's area vector points out of the electrolyte. */
  sign: Int8Array;
  /** 1 for panels of an open sheet: current leaves both faces, and there is no double layer. */
  sheet: Uint8Array;
}
