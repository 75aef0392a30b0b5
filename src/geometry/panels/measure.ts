import type { Vec3 } from '../shapes/vector.js';

/** Panels as six-node quadratic triangles: nodes xyz [m], six node numbers a panel. */
export interface Panels {
  nodes: Float64Array;
  panels: Int32Array;
}

/**
 * Dunavant's rule of degree 6 with 12 points on the unit triangle: (u, v, weight), weights sum to 1.
 * Source: D. A. Dunavant, Int. J. Numer. Meth. Engng 21 (1985) 1129, table II (from memory; exactness is tested).
 */
const A = 0.24928674517091;
const B = 0.063089014491502;
const C = 0.310352451033785;
const D = 0.053145049844816;
const E = 1 - C - D;
const RULE: [number, number, number][] = [
  [A, A, 0.116786275726379],
  [A, 1 - 2 * A, 0.116786275726379],
  [1 - 2 * A, A, 0.116786275726379],
  [B, B, 0.050844906370207],
  [B, 1 - 2 * B, 0.050844906370207],
  [1 - 2 * B, B, 0.050844906370207],
  [C, D, 0.082851075618374],
  [D, C, 0.082851075618374],
  [C, E, 0.082851075618374],
  [E, C, 0.082851075618374],
  [D, E, 0.082851075618374],
  [E, D, 0.082851075618374],
];

/** Point of panel t at (u, v): corner a is (0, 0), b is (1, 0), c is (0, 1). */
export function panelPoint(p: Panels, t: number, u: number, v: number): Vec3 {
  const l = 1 - u - v;
  return mix(p, t, [l * (2 * l - 1), u * (2 * u - 1), v * (2 * v - 1), 4 * l * u, 4 * u * v, 4 * v * l]);
}

/** Derivatives of the panel map by u and by v. */
export function panelSlopes(p: Panels, t: number, u: number, v: number): [Vec3, Vec3] {
  const l = 1 - u - v;
  return [
    mix(p, t, [1 - 4 * l, 4 * u - 1, 0, 4 * (l - u), 4 * v, -4 * v]),
    mix(p, t, [1 - 4 * l, 0, 4 * v - 1, -4 * u, 4 * u, 4 * (l - v)]),
  ];
}

function mix(p: Panels, t: number, weights: number[]): Vec3 {
  let [x, y, z] = [0, 0, 0];
  for (let k = 0; k < 6; k++) {
    const node = 3 * p.panels[6 * t + k]!;
    const w = weights[k]!;
    x += w * p.nodes[node]!;
    y += w * p.nodes[node + 1]!;
    z += w * p.nodes[node + 2]!;
  }
  return [x, y, z];
}

/** Values and slopes of the six shape functions at the points of the rule, 18 numbers a point, and half weights. */
const SHAPES = RULE.map(([u, v, w]) => {
  const l = 1 - u - v;
  return {
    value: [l * (2 * l - 1), u * (2 * u - 1), v * (2 * v - 1), 4 * l * u, 4 * u * v, 4 * v * l],
    byU: [1 - 4 * l, 4 * u - 1, 0, 4 * (l - u), 4 * v, -4 * v],
    byV: [1 - 4 * l, 0, 4 * v - 1, -4 * u, 4 * u, 4 * (l - v)],
    half: w / 2,
  };
});

/**
 * Sums f(point, area vector) over the quadrature points of panel t; the area vector follows the panel's winding. The
 * two arrays handed to f are used again for the next point.
 */
export function overPanel(p: Panels, t: number, f: (point: Vec3, areaVector: Vec3) => void): void {
  const point: [number, number, number] = [0, 0, 0];
  const normal: [number, number, number] = [0, 0, 0];
  const { nodes, panels } = p;
  for (const { value, byU, byV, half } of SHAPES) {
    let [x, y, z, ax, ay, az, bx, by, bz] = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    for (let k = 0; k < 6; k++) {
      const i = 3 * panels[6 * t + k]!;
      const [px, py, pz] = [nodes[i]!, nodes[i + 1]!, nodes[i + 2]!];
      const [s, su, sv] = [value[k]!, byU[k]!, byV[k]!];
      x += s * px;
      y += s * py;
      z += s * pz;
      ax += su * px;
      ay += su * py;
      az += su * pz;
      bx += sv * px;
      by += sv * py;
      bz += sv * pz;
    }
    point[0] = x;
    point[1] = y;
    point[2] = z;
    normal[0] = half * (ay * bz - az * by);
    normal[1] = half * (az * bx - ax * bz);
    normal[2] = half * (ax * by - ay * bx);
    f(point, normal);
  }
}

/** Area of each panel [m2]. */
export function panelAreas(p: Panels): Float64Array {
  const areas = new Float64Array(p.panels.length / 6);
  for (let t = 0; t < areas.length; t++)
    overPanel(p, t, (_, n) => {
      areas[t]! += Math.hypot(n[0], n[1], n[2]);
    });
  return areas;
}

/**
 * Volume [m3] enclosed by panels that face outward and may end at the plane z = top (no panels are needed in it):
 * the flux of (0, 0, z - top), whose divergence is 1 and which vanishes on the plane.
 */
export function volumeBelow(p: Panels, top: number): number {
  let volume = 0;
  for (let t = 0; t < p.panels.length / 6; t++)
    overPanel(p, t, (x, n) => {
      volume += (x[2] - top) * n[2];
    });
  return volume;
}
