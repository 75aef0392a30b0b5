import type { PanelSurface } from '../../geometry/index.js';

/**
 * Surfaces whose every node is known by formula: what the checks against closed forms stand on. They are built panel by
 * panel (nodes are not shared), so they also prove that the solver does not need shared nodes.
 */
export type Chart = (u: number, v: number) => readonly [number, number, number];

export interface ChartPatch {
  chart: Chart;
  /** Increasing parameter values of the grid lines. */
  u: readonly number[];
  v: readonly number[];
  patch: number;
  body?: number;
}

/** n + 1 equal steps from a to b. */
export const steps = (a: number, b: number, n: number): number[] =>
  Array.from({ length: n + 1 }, (_, i) => a + ((b - a) * i) / n);

/** Steps from a to b that crowd toward both ends (or one): distances from an end grow like (i/n)^power. */
export function graded(
  a: number,
  b: number,
  n: number,
  power: number,
  ends: 'both' | 'low' | 'high',
): number[] {
  const one = (x: number): number => {
    if (ends === 'low') return x ** power;
    if (ends === 'high') return 1 - (1 - x) ** power;
    return x < 0.5 ? 0.5 * (2 * x) ** power : 1 - 0.5 * (2 - 2 * x) ** power;
  };
  return Array.from({ length: n + 1 }, (_, i) => a + (b - a) * one(i / n));
}

/** Two curved triangles a cell, mid-side nodes on the chart; cells that a pole shrinks to a triangle give one. */
export function chartSurface(patches: readonly ChartPatch[], patchNames: string[]): PanelSurface {
  const nodes: number[] = [];
  const patch: number[] = [];
  const body: number[] = [];
  const corners = (
    chart: Chart,
    uv: readonly (readonly [number, number])[],
    pole: number | null,
  ): number[][] => {
    const [a, b, c] = uv;
    const mid = (p: readonly [number, number], q: readonly [number, number]) => {
      const u = p[1] === pole ? q[0] : q[1] === pole ? p[0] : (p[0] + q[0]) / 2;
      return chart(u, (p[1] + q[1]) / 2);
    };
    return [chart(...a), chart(...b), chart(...c), mid(a, b), mid(b, c), mid(c, a)].map((x) => [...x]);
  };
  /** The v of a row of grid points that is one point of the surface, where a mid-side lies on the other end's line. */
  const poleOf = (chart: Chart, u: readonly number[], v: readonly number[]): number | null =>
    v.find((at) => Math.hypot(...chart(u[0], at).map((x, d) => x - chart(u[1], at)[d])) < 1e-12) ?? null;
  const area = (x: number[][]): number => {
    const [a, b, c] = x;
    const p = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
    const q = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
    return Math.hypot(p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]);
  };
  for (const { chart, u, v, patch: number, body: owner = 0 } of patches)
    for (let i = 0; i + 1 < u.length; i++)
      for (let j = 0; j + 1 < v.length; j++) {
        const cell = [
          [
            [u[i], v[j]],
            [u[i + 1], v[j]],
            [u[i + 1], v[j + 1]],
          ],
          [
            [u[i], v[j]],
            [u[i + 1], v[j + 1]],
            [u[i], v[j + 1]],
          ],
        ] as const;
        const made = cell.map((uv) => corners(chart, uv, poleOf(chart, [u[i], u[i + 1]], [v[j], v[j + 1]])));
        const largest = Math.max(...made.map(area));
        for (const x of made) {
          if (area(x) < 1e-9 * largest) continue;
          nodes.push(...x.flat());
          patch.push(number);
          body.push(owner);
        }
      }
  return {
    nodes: Float64Array.from(nodes),
    panels: Int32Array.from({ length: nodes.length / 3 }, (_, i) => i),
    patch: Int32Array.from(patch),
    body: Int32Array.from(body),
    patchNames,
  };
}

/** A sphere of six bulged squares, each n x n cells (equal angles), stretched to semi-axes. Normals point outward. */
export function spherePatches(
  semiAxes: readonly [number, number, number],
  n: number,
  patch: number,
  body = 0,
  centre: readonly [number, number, number] = [0, 0, 0],
): ChartPatch[] {
  const side = (map: (a: number, b: number) => [number, number, number]): ChartPatch => ({
    chart: (u, v) => {
      const p = map(Math.tan(u), Math.tan(v));
      const r = Math.hypot(...p);
      return [
        centre[0] + (semiAxes[0] * p[0]) / r,
        centre[1] + (semiAxes[1] * p[1]) / r,
        centre[2] + (semiAxes[2] * p[2]) / r,
      ];
    },
    u: steps(-Math.PI / 4, Math.PI / 4, n),
    v: steps(-Math.PI / 4, Math.PI / 4, n),
    patch,
    body,
  });
  return [
    side((a, b) => [1, a, b]),
    side((a, b) => [-1, b, a]),
    side((a, b) => [b, 1, a]),
    side((a, b) => [a, -1, b]),
    side((a, b) => [a, b, 1]),
    side((a, b) => [b, a, -1]),
  ];
}

/** The half of a sphere below z = 0, open at the rim, 4 n cells around. Normals point outward. */
export const lowerHemisphere = (radius: number, n: number, patch: number, body = 0): ChartPatch => ({
  chart: (u, v) => [
    radius * Math.sin(v) * Math.cos(u),
    radius * Math.sin(v) * Math.sin(u),
    v === Math.PI / 2 ? 0 : radius * Math.cos(v),
  ],
  u: steps(0, 2 * Math.PI, 4 * n),
  v: steps(Math.PI, Math.PI / 2, n),
  patch,
  body,
});

/** A torus about the z axis, normals outward. */
export const torusPatch = (
  major: number,
  minor: number,
  around: number,
  across: number,
  patch: number,
): ChartPatch => ({
  chart: (u, v) => [
    (major + minor * Math.cos(v)) * Math.cos(u),
    (major + minor * Math.cos(v)) * Math.sin(u),
    minor * Math.sin(v),
  ],
  u: steps(0, 2 * Math.PI, around),
  v: steps(0, 2 * Math.PI, across),
  patch,
});

/** The six sides of a box from `low` to `high`, normals outward; `lines(a, b)` gives the grid along each side. */
export function boxPatches(
  low: readonly [number, number, number],
  high: readonly [number, number, number],
  lines: (a: number, b: number, axis: number) => number[],
  patchOf: (axis: number, upper: boolean) => number,
  body = 0,
): ChartPatch[] {
  const out: ChartPatch[] = [];
  for (let axis = 0; axis < 3; axis++)
    for (const upper of [false, true]) {
      const p = (axis + 1) % 3;
      const q = (axis + 2) % 3;
      const [first, second] = upper ? [p, q] : [q, p];
      out.push({
        chart: (u, v) => {
          const x: [number, number, number] = [0, 0, 0];
          x[axis] = upper ? high[axis] : low[axis];
          x[first] = u;
          x[second] = v;
          return x;
        },
        u: lines(low[first], high[first], first),
        v: lines(low[second], high[second], second),
        patch: patchOf(axis, upper),
        body,
      });
    }
  return out;
}
