import { boxPatches, chartSurface, graded } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import { anode, cathode, once, planeCell, type Side, type Solved, solve, wall } from './tools.js';

/**
 * Exponents of the current density at edges and corners, read off the current that enters within a distance r: it grows
 * like r to the exponent plus 1 (edge) or plus 2 (corner).
 */

/** Current into the nodes chosen. */
function entering({ result }: Solved, chosen: (x: number, y: number, z: number) => boolean): number {
  const { count, position, weight, currentDensity } = result.nodes;
  let sum = 0;
  for (let i = 0; i < count; i++)
    if (chosen(position[3 * i], position[3 * i + 1], position[3 * i + 2]))
      sum += weight[i] * Math.abs(currentDensity[i]);
  return sum;
}

/** Slope of log current over log distance, between the two distances. */
const slope = (within: (r: number) => number, low: number, high: number): number =>
  Math.log(within(high) / within(low)) / Math.log(high / low);

/**
 * A sector of the angle given (in the solution, degrees) about an edge: a cathode along one side, along the other an
 * insulator or the cathode again, the anode along most of the arc. Lines of panels at graded distances from the edge.
 */
const radii = graded(0, 1, 12, 4, 'low');

function sector(degrees: number, second: 'insulator' | 'cathode'): Solved {
  const angle = (degrees * Math.PI) / 180;
  const around = Math.max(4, Math.round(degrees / 22.5));
  const angles = Array.from({ length: around + 1 }, (_, i) => (angle * i) / around);
  const ray = (a: number, patch: number): Side => ({
    curve: (r) => [r * Math.cos(a), r * Math.sin(a)],
    u: radii,
    patch,
  });
  const arc = (u: number[], patch: number): Side => ({ curve: (a) => [Math.cos(a), Math.sin(a)], u, patch });
  const geometry = planeCell(
    [
      ray(0, 0),
      ray(angle, second === 'cathode' ? 0 : 1),
      // The anode must not touch the cathode: that is a short circuit, and its current spoils all else.
      arc(angles.slice(0, 2), 1),
      arc(angles.slice(1, -1), 2),
      arc(angles.slice(-2), 1),
    ],
    { map: (a, r) => [r * Math.cos(a), r * Math.sin(a)], u: angles, v: radii },
    ['cathode', 'insulator', 'anode', 'floor'],
  );
  return solve(geometry, {
    conductivity: 1,
    patches: [cathode(), wall, anode(), wall],
    drive: { voltage: 1 },
  });
}

/** Along the first ray, which is the x axis, between two of its lines of panels. */
function edge(degrees: number, second: 'insulator' | 'cathode', [low, high]: [number, number]): number {
  const solved = sector(degrees, second);
  const within = (r: number) => entering(solved, (x, y, z) => Math.abs(y) < 1e-9 && z > 0 && x > 0 && x < r);
  return slope(within, radii[low], radii[high]) - 1;
}

const lines = graded(0, 1, 12, 4, 'both');

const square = once(() =>
  solve(
    {
      surface: chartSurface([{ chart: (u, v) => [u, v, 0], u: lines, v: lines, patch: 0 }], ['plate']),
      unbounded: true,
      nodesPerPanel: 3,
    },
    { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
  ),
);

const block = once(() =>
  solve(
    {
      surface: chartSurface(
        boxPatches(
          [0, 0, 0],
          [1, 1, 1],
          () => lines,
          () => 0,
        ),
        ['cube'],
      ),
      unbounded: true,
      nodesPerPanel: 3,
    },
    { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
  ),
);

/** Within a square (or cube) at the corner at the origin; its sides are lines of panels. */
const corner = (solved: () => Solved): number =>
  slope((r) => entering(solved(), (x, y, z) => x < r && y < r && z < r), lines[1], lines[3]) - 2;

export const study: Study = {
  ...Object.fromEntries(
    [90, 135, 180, 270].map((a) => [`insulator-${a}`, () => edge(a, 'insulator', [2, 4])]),
  ),
  ...Object.fromEntries(
    [90, 270].map((a) => [`edge-${a}`, () => edge(a, 'cathode', a === 90 ? [6, 9] : [2, 4])]),
  ),
  'cube-corner': () => corner(block),
  'plate-corner': () => corner(square),
};
