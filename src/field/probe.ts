import { basisAt, basisOf } from './basis.js';
import { NEAR } from './near-list.js';
import { PanelIntegrator } from './panel-integrator.js';
import { evaluatePanel } from './panels.js';
import type { FieldResult } from './problem.js';
import type { FieldSolver } from './solver.js';

/**
 * Potential of the solution [V] at points (xyz after xyz) in the electrolyte: the representation formula with the near
 * panels integrated. NaN outside the electrolyte. What the double layer of a constant lacks of its exact value is
 * credited at the nearest node's potential, so that the formula is exact on constants right up to the surface.
 */
export function potentialAt(
  solver: FieldSolver,
  result: FieldResult,
  points: Float64Array,
  conductivity: number,
): Float64Array {
  const { layers } = solver;
  const { nodes, sheet } = layers.d;
  const { potential, currentDensity } = result.nodes;
  const area = nodes.weight.map((w, i) => (sheet[nodes.panel[i]] ? 0 : w));
  const q = currentDensity.map((i) => i / conductivity);
  const count = points.length / 3;
  const value = new Float64Array(count);
  const angle = new Float64Array(count);
  layers.operator.evaluate(
    points,
    q.map((v, i) => v * nodes.weight[i]),
    potential.map((v, i) => -v * area[i]),
    value,
  );
  layers.operator.evaluate(points, new Float64Array(nodes.count), area, angle);
  const inside = layers.unbounded ? 0 : -1;
  return value.map((far, k) => {
    const point = points.subarray(3 * k, 3 * k + 3);
    const near = nearSums(solver, point, q, potential);
    const solid = angle[k] + near.angle;
    if (Math.abs(solid - inside) > 0.5) return Number.NaN;
    return (
      far + near.value - result.constant + potential[nearestNode(nodes.position, point)] * (solid - inside)
    );
  });
}

/** Corrections of G q - H phi and of H 1 at a point, from the panels near to it or to its image. */
function nearSums(
  solver: FieldSolver,
  point: Float64Array,
  q: Float64Array,
  potential: Float64Array,
): { value: number; angle: number } {
  const { d } = solver.layers;
  const { nodes, panels, perPanel } = d;
  const integrator = new PanelIntegrator(d);
  const [x, y, height] = point;
  const images = nodes.mirrorHeight === undefined ? [height] : [height, 2 * nodes.mirrorHeight - height];
  let value = 0;
  let angle = 0;
  for (let p = 0; p < panels.count; p++)
    for (const z of images) {
      const { centre, radius } = panels;
      const distance = Math.hypot(x - centre[3 * p], y - centre[3 * p + 1], z - centre[3 * p + 2]);
      if (distance > 1.5 * NEAR[perPanel[p]] * radius[p]) continue;
      integrator.begin(p);
      integrator.correctionAt(x, y, z);
      for (let m = 0; m < perPanel[p]; m++) {
        const i = nodes.start[p] + m;
        value += integrator.single[m] * q[i] - integrator.double[m] * potential[i];
        angle += integrator.double[m];
      }
    }
  return { value, angle };
}

function nearestNode(position: Float64Array, point: Float64Array): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < position.length / 3; i++) {
    const d =
      (position[3 * i] - point[0]) ** 2 +
      (position[3 * i + 1] - point[1]) ** 2 +
      (position[3 * i + 2] - point[2]) ** 2;
    if (d < least) {
      least = d;
      best = i;
    }
  }
  return best;
}

/** The surface point nearest to an observer. */
export interface SurfacePoint {
  /** Panel as numbered in the surface, and patch. */
  panel: number;
  patch: number;
  position: [number, number, number];
  distance: number;
  /** Current density from metal into solution [A/m2] and potential of the solution [V] there. */
  currentDensity: number;
  potential: number;
}

/** Nearest point of the curved surface and the solution there, one for each point (xyz after xyz). */
export function surfaceAt(solver: FieldSolver, result: FieldResult, points: Float64Array): SurfacePoint[] {
  const { panels, nodes, perPanel } = solver.layers.d;
  const found: SurfacePoint[] = [];
  for (let k = 0; k < points.length / 3; k++) {
    const point = points.subarray(3 * k, 3 * k + 3);
    let best = { p: 0, s: 1 / 3, t: 1 / 3, d: Number.POSITIVE_INFINITY };
    const order = Array.from({ length: panels.count }, (_, p) => ({
      p,
      d:
        Math.hypot(
          point[0] - panels.centre[3 * p],
          point[1] - panels.centre[3 * p + 1],
          point[2] - panels.centre[3 * p + 2],
        ) - panels.radius[p],
    })).sort((a, b) => a.d - b.d);
    for (const { p, d } of order) {
      if (d > best.d) break;
      const near = nearestOnPanel(panels.coef, p, point);
      if (near.d < best.d) best = { p, ...near };
    }
    const { p, s, t, d } = best;
    const basis = basisOf(perPanel[p] as 1 | 3 | 6);
    const x = new Float64Array(6);
    evaluatePanel(panels.coef, p, s, t, x, 0);
    let currentDensity = 0;
    let potential = 0;
    for (let m = 0; m < basis.nodes; m++) {
      const w = basisAt(basis, m, s, t);
      currentDensity += w * result.nodes.currentDensity[nodes.start[p] + m];
      potential += w * result.nodes.potential[nodes.start[p] + m];
    }
    found.push({
      panel: panels.origin[p],
      patch: panels.patch[p],
      position: [x[0], x[1], x[2]],
      distance: d,
      currentDensity,
      potential,
    });
  }
  return found;
}

/** Shrinking pattern search over the unit triangle: few evaluations matter little here, robustness does. */
function nearestOnPanel(
  coef: Float64Array,
  p: number,
  point: Float64Array,
): { s: number; t: number; d: number } {
  const x = new Float64Array(6);
  const distance = (s: number, t: number): number => {
    evaluatePanel(coef, p, s, t, x, 0);
    return Math.hypot(point[0] - x[0], point[1] - x[1], point[2] - x[2]);
  };
  let s = 1 / 3;
  let t = 1 / 3;
  let d = distance(s, t);
  for (let step = 0.25; step > 1e-9; ) {
    let moved = false;
    for (const [ds, dt] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
      [1, -1],
      [-1, 1],
    ]) {
      let a = Math.max(0, s + step * ds);
      let b = Math.max(0, t + step * dt);
      const over = a + b;
      if (over > 1) {
        a /= over;
        b /= over;
      }
      const there = distance(a, b);
      if (there < d) {
        d = there;
        s = a;
        t = b;
        moved = true;
      }
    }
    if (!moved) step *= 0.5;
  }
  return { s, t, d };
}
