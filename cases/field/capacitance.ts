import {
  boxPatches,
  chartSurface,
  graded,
  lowerHemisphere,
  spherePatches,
  torusPatch,
} from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import {
  anode,
  capacitance,
  cathode,
  cube,
  disc,
  once,
  ratioAt,
  resistance,
  solve,
  sphere,
} from './tools.js';

const spheroid = (x: number, yz: number, n: number) => chartSurface(spherePatches([x, yz, yz], n, 0), ['a']);

const oblate = (q: number, n: number) => chartSurface(spherePatches([1, 1, 1 / q], n, 0), ['a']);

const torus = (ratio: number, around: number, across: number) =>
  chartSurface([torusPatch(ratio, 1, around, across, 0)], ['a']);

function plate() {
  const lines = graded(0, 1, 10, 4, 'both');
  return chartSurface([{ chart: (u, v) => [u, v, 0], u: lines, v: lines, patch: 0 }], ['a']);
}

const spheres = (distance: number) =>
  chartSurface(
    [
      ...spherePatches([1, 1, 1], 5, 0, 0, [-distance / 2, 0, 0]),
      ...spherePatches([1, 1, 1], 5, 1, 1, [distance / 2, 0, 0]),
    ],
    ['a', 'b'],
  );

const together = (distance: number) => {
  const surface = spheres(distance);
  surface.patch.fill(0);
  surface.patchNames = ['a'];
  return capacitance(surface);
};

const apart = (distance: number) =>
  4 *
  Math.PI *
  resistance(
    solve(
      { surface: spheres(distance), unbounded: true },
      { conductivity: 1, patches: [cathode(), anode()], drive: { voltage: 1 } },
    ),
  );

const prolate = once(() =>
  solve(
    { surface: spheroid(2, 1, 11), unbounded: true, nodesPerPanel: 3 },
    { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
  ),
);

function halfImmersed(): number {
  const surface = chartSurface([lowerHemisphere(1, 5, 0)], ['a']);
  return resistance(
    solve(
      { surface, unbounded: true, mirrorHeight: 0 },
      { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
    ),
  );
}

/** A cube in which one face is cut finer than its neighbours: corners of small panels hang on sides of large ones. */
function hanging(): number {
  const patches = boxPatches(
    [0, 0, 0],
    [1, 1, 1],
    (a, b) => graded(a, b, 8, 3, 'both'),
    () => 0,
  );
  patches[0] = { ...patches[0], u: graded(0, 1, 10, 3, 'both'), v: graded(0, 1, 7, 3, 'both') };
  return capacitance(chartSurface(patches, ['a']), 3);
}

export const study: Study = {
  sphere: () => capacitance(sphere(6)),
  cube: () => capacitance(cube(8, 3), 3),
  'cube-hanging': hanging,
  plate: () => capacitance(plate(), 3),
  disc: () => capacitance(disc(7, 16, 4), 3),
  'torus-2': () => capacitance(torus(2, 18, 14)),
  'torus-5': () => capacitance(torus(5, 26, 12)),
  'torus-20': () => capacitance(torus(20, 48, 10)),
  'prolate-2': () => capacitance(spheroid(1, 0.5, 6)),
  'prolate-10': () => capacitance(spheroid(1, 0.1, 7)),
  'oblate-2': () => capacitance(oblate(2, 6)),
  'oblate-10': () => capacitance(oblate(10, 8)),
  'prolate-tip': () => ratioAt(prolate(), 2, 0, 0),
  'prolate-equator': () => ratioAt(prolate(), 0, 0, 1),
  'spheres-together-2.5': () => together(2.5),
  'spheres-together-4': () => together(4),
  'spheres-touching': () => together(2),
  'spheres-apart-2.5': () => apart(2.5),
  'spheres-apart-4': () => apart(4),
  'half-immersed': halfImmersed,
};
