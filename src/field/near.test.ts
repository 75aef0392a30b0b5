import { expect, test } from 'vitest';
import { buildKdTree } from '../numerics/index.js';
import { plainNear } from './near.js';
import { findNear } from './near-list.js';
import { buildNodes, type Discretisation } from './nodes.js';
import { plainOperator } from './operator.js';
import { PanelIntegrator } from './panel-integrator.js';
import { buildPanels } from './panels.js';
import { chartSurface, spherePatches, torusPatch } from './testing/surfaces.js';

function discretise(surface: ReturnType<typeof chartSurface>, k: 1 | 3 | 6): Discretisation {
  const panels = buildPanels(surface);
  const perPanel = new Uint8Array(panels.count).fill(k);
  const sign = new Int8Array(panels.count).fill(1);
  const sheet = new Uint8Array(panels.count);
  return { panels, nodes: buildNodes(panels, perPanel, sign, sheet, undefined), perPanel, sign, sheet };
}

/** One plane triangle, stretched `long` times. */
function triangle(long: number) {
  return chartSurface(
    [{ chart: (u, v) => [long * u, v + 0.3 * u, 0.2 * u - 0.4 * v], u: [0, 1], v: [0, 1], patch: 0 }],
    ['a'],
  );
}

test('closed forms of a plane triangle agree with subdivision, from far, near, very near and in its own plane', () => {
  for (const long of [1, 20])
    for (const k of [1, 3, 6] as const) {
      const exact = discretise(triangle(long), k);
      const numeric = discretise(triangle(long), k);
      numeric.panels.flat.fill(0);
      const a = new PanelIntegrator(exact);
      const b = new PanelIntegrator(numeric);
      for (const p of [0, 1])
        for (const lift of [2, 0.3, 0.01, -0.05]) {
          const { nodes } = exact;
          const at = [0, 1, 2].map((d) => nodes.position[3 * nodes.start[0] + d] + lift * nodes.normal[d]);
          for (const integrator of [a, b]) {
            integrator.begin(p);
            integrator.single.fill(0);
            integrator.double.fill(0);
            integrator.addIntegral(at[0], at[1], at[2], -1);
          }
          for (let m = 0; m < k; m++) {
            expect(Math.abs(a.single[m] - b.single[m])).toBeLessThan(1e-5);
            expect(Math.abs(a.double[m] - b.double[m])).toBeLessThan(1e-4);
          }
        }
    }
});

test('seen from its own node, the ray rule meets the closed form also on a panel stretched 50 to 1', () => {
  for (const long of [1, 50])
    for (const k of [1, 3, 6] as const) {
      const exact = discretise(triangle(long), k);
      const numeric = discretise(triangle(long), k);
      numeric.panels.flat.fill(0);
      const a = new PanelIntegrator(exact);
      const b = new PanelIntegrator(numeric);
      for (let own = 0; own < k; own++) {
        const [x, y, z] = [0, 1, 2].map((d) => exact.nodes.position[3 * own + d]);
        for (const integrator of [a, b]) {
          integrator.begin(0);
          integrator.single.fill(0);
          integrator.double.fill(0);
          integrator.addIntegral(x, y, z, own);
        }
        const scale = a.single.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
        for (let m = 0; m < k; m++) {
          expect(Math.abs(a.single[m] - b.single[m]) / scale).toBeLessThan(1e-5);
          expect(Math.abs(b.double[m])).toBeLessThan(1e-9);
        }
      }
    }
});

/** Single and double layer of given densities, near corrections included. */
function layers(d: Discretisation, q: Float64Array, phi: Float64Array) {
  const tree = buildKdTree(d.nodes.position, 0, d.nodes.count, 16);
  const block = plainNear.build(d, findNear(d, tree, 0, 0), 0, 0);
  const sum = plainNear.sum(d, [{ observers: 0, sources: 0, block }]);
  const none = new Float64Array(d.nodes.count);
  const times = (v: Float64Array) => v.map((x, i) => x * d.nodes.weight[i]);
  const single = new Float64Array(d.nodes.count);
  const double = new Float64Array(d.nodes.count);
  const operator = plainOperator(d.nodes);
  operator.apply(times(q), null, single);
  operator.apply(none, times(phi), double);
  sum.add(q, none, single);
  sum.add(none, phi, double);
  return { single, double };
}

test('sphere: the layers of the harmonic P1 are R/3 and -1/6 times it (closed form)', () => {
  const radius = 2;
  const error = { single: [] as number[], double: [] as number[] };
  for (const n of [2, 4]) {
    const d = discretise(chartSurface(spherePatches([radius, radius, radius], n, 0), ['a']), 6);
    const z = Float64Array.from({ length: d.nodes.count }, (_, i) => d.nodes.position[3 * i + 2]);
    const { single, double } = layers(d, z, z);
    error.single.push(Math.max(...single.map((v, i) => Math.abs(v - (radius / 3) * z[i]))));
    error.double.push(Math.max(...double.map((v, i) => Math.abs(v + z[i] / 6))));
  }
  for (const kind of ['single', 'double'] as const) {
    expect(error[kind][1]).toBeLessThan(2e-3);
    expect(error[kind][0] / error[kind][1]).toBeGreaterThan(5);
  }
});

test('torus with stretched panels: the double layer of one is -1/2 everywhere (Gauss)', () => {
  const d = discretise(chartSurface([torusPatch(5, 1, 16, 16, 0)], ['a']), 6);
  const one = new Float64Array(d.nodes.count).fill(1);
  const { double } = layers(d, one, one);
  for (const v of double) expect(Math.abs(v + 0.5)).toBeLessThan(2e-3);
});
