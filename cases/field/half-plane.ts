import { graded } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import {
  annulus,
  anode,
  cathode,
  DEPTH,
  once,
  planeCell,
  ratioAt,
  resistance,
  type Side,
  type Solved,
  solve,
  wall,
} from './tools.js';

/**
 * Plane cells that reach to infinity, cut off at a far arc. There the field is that of a dipole, so an insulating arc and
 * one at the potential of the plane of symmetry err alike in opposite directions: the geometric mean of the two has
 * only the next power of the distance left.
 */
const bothEnds = (run: (arc: 'insulating' | 'conducting') => Solved): (() => [Solved, Solved]) =>
  once(() => [run('insulating'), run('conducting')]);

const mean = (of: (solved: Solved) => number, [a, b]: [Solved, Solved]): number => Math.sqrt(of(a) * of(b));
const plane = (solved: Solved): number => resistance(solved) * DEPTH;
const arcPatch = (arc: string) => (arc === 'conducting' ? anode() : wall);

/** A strip [g, g + 1] on the floor y = 0 of a quarter plane whose other side, x = 0, is the plane of symmetry of the pair. */
function strip(g: number, arc: 'insulating' | 'conducting'): Solved {
  const end = g + 1;
  const far = 8 * end;
  const low = graded(0, g, 3, 2, 'high');
  const across = graded(g, end, 10, 3, 'both');
  const rest = graded(end, far, 7, 4, 'low');
  const radii = [...low, ...across.slice(1), ...rest.slice(1)];
  const angles = graded(0, Math.PI / 2, 8, 1.5, 'low');
  const floorSide = (u: number[], patch: number): Side => ({ curve: (x) => [x, 0], u, patch });
  const geometry = planeCell(
    [
      floorSide(low, 2),
      floorSide(across, 0),
      floorSide(rest, 2),
      { curve: (y) => [0, y], u: radii, patch: 1 },
      { curve: (a) => [far * Math.cos(a), far * Math.sin(a)], u: angles, patch: 3 },
    ],
    {
      map: (a, r) => [r * Math.cos(a), r * Math.sin(a)],
      u: angles,
      v: radii,
    },
    ['strip', 'middle', 'wall', 'arc', 'floor'],
  );
  return solve(geometry, {
    conductivity: 1,
    patches: [cathode(), anode(), wall, arcPatch(arc), wall],
    drive: { voltage: 1 },
  });
}

/** A cylinder of radius 1 whose axis is d from the plane x = 0. */
function cylinder(d: number, arc: 'insulating' | 'conducting'): Solved {
  const far = 12 * d;
  const corner = Math.atan2(far, -d);
  const angles = [
    ...graded(-corner, corner, 14, 1.5, 'both'),
    ...graded(corner, 2 * Math.PI - corner, 22, 1.5, 'both').slice(1),
  ];
  const outer = (a: number): readonly [number, number] => {
    const [c, s] = [Math.cos(a), Math.sin(a)];
    if (c < 0 && -d / c <= Math.hypot(d, far) * (1 + 1e-12)) return [0, (-d / c) * s];
    const t = -d * c + Math.sqrt(far * far - d * d * s * s);
    return [d + t * c, t * s];
  };
  const geometry = annulus(
    (a) => [d + Math.cos(a), Math.sin(a)],
    outer,
    angles,
    graded(0, 1, 7, 2.5, 'low'),
    (a) => (Math.abs(Math.PI - a) < Math.PI - corner ? 1 : 2),
    ['cylinder', 'plane', 'arc', 'floor'],
  );
  return solve(geometry, {
    conductivity: 1,
    patches: [cathode(), anode(), arcPatch(arc), wall],
    drive: { voltage: 1 },
  });
}

const strips = Object.fromEntries([0.1, 1].map((g) => [g, bothEnds((arc) => strip(g, arc))]));
const cylinders = Object.fromEntries([1.5, 5].map((d) => [d, bothEnds((arc) => cylinder(d, arc))]));

const at = (x: number) => (solved: Solved) => ratioAt(solved, x, 0, DEPTH / 2);

export const study: Study = {
  ...Object.fromEntries(
    Object.entries(strips).map(([g, pair]) => [`strips-${g}`, () => 2 * mean(plane, pair())]),
  ),
  ...Object.fromEntries(
    Object.entries(cylinders).flatMap(([d, pair]) => [
      [`cylinder-${d}`, () => mean(plane, pair())],
      [`cylinder-${d}-most`, () => mean(at(Number(d) - 1), pair())],
      [
        `cylinder-${d}-most-over-least`,
        () => mean(at(Number(d) - 1), pair()) / mean(at(Number(d) + 1), pair()),
      ],
    ]),
  ),
};
