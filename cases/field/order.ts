import { chartSurface, spherePatches } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import { anode, capacitance, cathode, cube, linear, resistance, solve, sphere } from './tools.js';

/** Observed order from three levels, each with half the panel size of the one before, against the known value. */
function order(values: number[], exact: number): number {
  const [coarse, middle, fine] = values.map((v) => Math.abs(v / exact - 1));
  return Math.min(Math.log2(coarse / middle), Math.log2(middle / fine));
}

const CUBE = 0.66067815409957;

/** Two spheres out of centre: nothing is uniform. The finest level stands for the exact value of the two coarser. */
function offCentre(n: number): number {
  const surface = chartSurface(
    [...spherePatches([1, 1, 1], n, 0, 0, [0.8, 0.3, 0]), ...spherePatches([3, 3, 3], n, 1, 1)],
    ['part', 'shell'],
  );
  return resistance(
    solve(
      { surface, nodesPerPanel: 3 },
      { conductivity: 1, patches: [cathode(linear(0.5)), anode()], drive: { voltage: 1 } },
    ),
  );
}

export const study: Study = {
  'sphere-constant': () => capacitance(sphere(12), 1),
  'sphere-linear': () =>
    order(
      [2, 4, 8].map((n) => capacitance(sphere(n), 3)),
      1,
    ),
  'sphere-quadratic': () =>
    order(
      [2, 4, 8].map((n) => capacitance(sphere(n), 6)),
      1,
    ),
  'sphere-ceiling': () => Math.abs(capacitance(sphere(8), 3) - 1),
  'cube-even': () =>
    order(
      [3, 6, 12].map((n) => capacitance(cube(n, 1), 3)),
      CUBE,
    ),
  'cube-graded': () =>
    order(
      [2, 4, 8].map((n) => capacitance(cube(n, 3), 3)),
      CUBE,
    ),
  'grading-gain': () =>
    Math.abs(capacitance(cube(6, 1), 3) / CUBE - 1) / Math.abs(capacitance(cube(6, 3), 3) / CUBE - 1),
  'off-centre': () => {
    const [a, b, c] = [2, 4, 8].map(offCentre);
    return Math.log2(Math.abs((a - c) / (b - c)));
  },
};
