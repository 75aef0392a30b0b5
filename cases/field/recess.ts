import {
  type ChartPatch,
  chartSurface,
  graded,
  lowerHemisphere,
  steps,
} from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import { anode, cathode, once, ratioAt, resistance, type Solved, solve, wall } from './tools.js';

/** A surface about the z axis: the curve (r, z) over increasing parameters, turned in `around` steps. */
const turned = (
  curve: (v: number) => readonly [number, number],
  v: readonly number[],
  around: number,
  patch: number,
): ChartPatch => ({
  chart: (u, t) => {
    const [r, z] = curve(t);
    return [r * Math.cos(u), r * Math.sin(u), z];
  },
  u: steps(0, 2 * Math.PI, around),
  v,
  patch,
});

const FAR = 6;
const AROUND = 16;

/**
 * A disc of radius 1 at the bottom of a hole in an insulating plane. The half space ends at a hemisphere that is the
 * anode: beyond it, up to terms of its radius to the fifth, the field is that of a point.
 */
function recessed(depth: number): Solved {
  const rim = [0, 0.15, 0.3, ...graded(0.45, 1, 7, 3, 'high')];
  const surface = chartSurface(
    [
      turned((r) => [r, -depth], rim, AROUND, 0),
      turned((z) => [1, z], graded(-depth, 0, depth < 1 ? 6 : 8, 2.5, 'both'), AROUND, 1),
      turned((r) => [r, 0], graded(1, FAR, 7, 3, 'low'), AROUND, 1),
      turned(
        (a) => [a === 0 ? FAR : FAR * Math.cos(a), FAR * Math.sin(a)],
        [0, 0.25, 0.5, 0.75, 1].map((s) => (s * Math.PI) / 2),
        AROUND,
        2,
      ),
    ],
    ['disc', 'wall', 'far'],
  );
  return solve(
    { surface, nodesPerPanel: 3 },
    { conductivity: 1, patches: [cathode(), wall, anode()], drive: { voltage: 1 } },
  );
}

const toInfinity = (solved: Solved): number => resistance(solved) + 1 / (2 * Math.PI * FAR);

/** Half of a small sphere midway between two planes (the mirror is the plane of symmetry), insulating far out. */
function between(radius: number): Solved {
  const out = 6;
  const surface = chartSurface(
    [
      lowerHemisphere(radius, 4, 0),
      turned((r) => [r, -1], [...graded(0, 1, 4, 1.5, 'low'), 1.5, 2, 3, 4.5, out], AROUND, 1),
      turned((z) => [out, z], [-1, -0.5, 0], AROUND, 2),
    ],
    ['sphere', 'planes', 'far'],
  );
  return solve(
    { surface, mirrorHeight: 0 },
    { conductivity: 1, patches: [cathode(), anode(), wall], drive: { voltage: 1 } },
  );
}

const holes = Object.fromEntries([0.1, 0.5, 2].map((depth) => [depth, once(() => recessed(depth))]));

export const study: Study = {
  ...Object.fromEntries(
    Object.entries(holes).flatMap(([depth, solved]) => [
      [`recess-${depth}`, () => toInfinity(solved())],
      ...[0, 0.5, 0.9].map((r) => [
        `recess-${depth}-${r}`,
        () => ratioAt(solved(), r * Math.cos(0.2), r * Math.sin(0.2), -Number(depth)),
      ]),
    ]),
  ),
  ...Object.fromEntries(
    // Half of the current of the whole sphere.
    [0.05, 0.2].map((r) => [`between-${r}`, () => 4 * Math.PI * 0.5 * resistance(between(r))]),
  ),
};
