import type { PanelSurface } from '../geometry/index.js';
import { done, type Outcome, refused } from '../units/index.js';
import { orient } from './orient.js';
import { buildPanels, evaluatePanel } from './panels.js';

/** How a panel is cut: not at all, in two at the middle of side ab, bc or ca, or in four. */
export const WHOLE = 0;
export const HALF_AB = 1;
export const HALF_BC = 2;
export const HALF_CA = 3;
export const QUARTERS = 4;

/** Corners of the children in the parent's parameters. */
const CHILDREN: readonly (readonly (readonly number[])[])[] = [
  [[0, 0, 1, 0, 0, 1]],
  [
    [0, 0, 0.5, 0, 0, 1],
    [0.5, 0, 1, 0, 0, 1],
  ],
  [
    [0, 0, 1, 0, 0.5, 0.5],
    [0, 0, 0.5, 0.5, 0, 1],
  ],
  [
    [0, 0, 1, 0, 0, 0.5],
    [0, 0.5, 1, 0, 0, 1],
  ],
  [
    [0, 0, 0.5, 0, 0, 0.5],
    [0.5, 0, 1, 0, 0.5, 0.5],
    [0, 0.5, 0.5, 0.5, 0, 1],
    [0.5, 0.5, 0, 0.5, 0.5, 0],
  ],
];

/**
 * The surface with panels cut as `cut` says (one of the constants above each). Children lie exactly on their parent;
 * corners may hang in the middle of a neighbour's side, which the solver does not mind. Nodes are not shared.
 * `parent` gives each child's panel number before.
 */
export function splitPanels(
  surface: PanelSurface,
  cut: Uint8Array,
): { surface: PanelSurface; parent: Int32Array } {
  const panels = buildPanels({ ...surface, body: new Int32Array(surface.body.length) });
  const nodes: number[] = [];
  const parent: number[] = [];
  const point = new Float64Array(6);
  for (let p = 0; p < surface.patch.length; p++)
    for (const [sa, ta, sb, tb, sc, tc] of CHILDREN[cut[p]]) {
      const places = [
        [sa, ta],
        [sb, tb],
        [sc, tc],
        [(sa + sb) / 2, (ta + tb) / 2],
        [(sb + sc) / 2, (tb + tc) / 2],
        [(sc + sa) / 2, (tc + ta) / 2],
      ];
      for (const [s, t] of places) {
        evaluatePanel(panels.coef, p, s, t, point, 0);
        nodes.push(point[0], point[1], point[2]);
      }
      parent.push(p);
    }
  return {
    surface: {
      nodes: Float64Array.from(nodes),
      panels: Int32Array.from({ length: 6 * parent.length }, (_, i) => i),
      patch: Int32Array.from(parent, (p) => surface.patch[p]),
      body: Int32Array.from(parent, (p) => surface.body[p]),
      patchNames: surface.patchNames,
    },
    parent: Int32Array.from(parent),
  };
}

/**
 * The surface with every panel wound so that its normal points out of the electrolyte, and one body a connected piece:
 * afterwards panels may be cut one by one and the orientation is still known.
 */
export function woundSurface(
  surface: PanelSurface,
  mirrorHeight: number | undefined,
  unbounded: boolean,
): Outcome<PanelSurface> {
  const panels = buildPanels(surface);
  const { sign, shell, problems } = orient(panels, mirrorHeight, unbounded);
  if (problems.length > 0) return refused(...problems);
  const wound = surface.panels.slice();
  const body = new Int32Array(panels.count);
  for (let p = 0; p < panels.count; p++) {
    const from = panels.origin[p];
    body[from] = shell[p];
    if (sign[p] > 0) continue;
    const [a, b, c, ab, bc, ca] = surface.panels.subarray(6 * from, 6 * from + 6);
    wound.set([a, c, b, ca, bc, ab], 6 * from);
  }
  return done({ ...surface, panels: wound, body });
}
