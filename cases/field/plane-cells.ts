import { graded, steps } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import {
  annulus,
  anode,
  cathode,
  DEPTH,
  once,
  ratioAt,
  rectangle,
  resistance,
  type Solved,
  solve,
  wall,
} from './tools.js';

const NAMES = ['cathode', 'anode', 'wall', 'floor'];
const PATCHES = [cathode(), anode(), wall, wall];
const MIDDLE = DEPTH / 2;

const run = (geometry: Parameters<typeof solve>[0], patches = PATCHES): Solved =>
  solve(geometry, { conductivity: 1, patches, drive: { voltage: 1 } });

/** Resistance for each metre of depth. */
const plane = (solved: Solved): number => resistance(solved) * DEPTH;

/** Equal electrodes of length L in opposite walls of a channel of gap 1, which goes on for three gaps each way. */
function channel(length: number): Solved {
  const half = length / 2;
  const open = graded(half, half + 3, 5, 2.5, 'low');
  const x = [...open.map((v) => -v).reverse(), ...graded(-half, half, 18, 2.5, 'both').slice(1, -1), ...open];
  const y = graded(0, 1, 6, 1.5, 'both');
  return run(
    rectangle(
      x,
      y,
      (at, side) => (Math.abs(at) > half || (side > 0 && side < 1) ? 2 : side === 0 ? 0 : 1),
      NAMES,
    ),
  );
}

/** Anode over the whole of one end, cathode over the lower part of the other. */
function rectangular(gap: number, height: number): Solved {
  const y = [...graded(0, height, 4, 3, 'high'), ...graded(height, 1, 4, 3, 'low').slice(1)];
  return run(
    rectangle(
      graded(0, gap, 5, 2, 'both'),
      y,
      (x, at) => (x === 0 ? 1 : x === gap && at < height ? 0 : 2),
      NAMES,
    ),
  );
}

const circle =
  (radius: number, x = 0) =>
  (a: number): readonly [number, number] => [x + radius * Math.cos(a), radius * Math.sin(a)];

function eccentric(r1: number, r2: number, offset: number): Solved {
  const across = r2 > 5 ? graded(0, 1, 5, 2, 'low') : [0, 0.5, 1];
  return run(
    annulus(circle(r1, offset), circle(r2), steps(0, 2 * Math.PI, 20), across, () => 1, [
      'inner',
      'outer',
      'floor',
    ]),
    [cathode(), anode(), wall],
  );
}

const square = (a: number): readonly [number, number] => {
  const reach = Math.max(Math.abs(Math.cos(a)), Math.abs(Math.sin(a)));
  return [Math.cos(a) / reach, Math.sin(a) / reach];
};

/** A wire in the middle of a square tank of half side 1; anodes on all four walls or on the two at x = -1 and 1. */
function tank(radius: number, all: boolean): Solved {
  const quarter = graded(-Math.PI / 4, Math.PI / 4, 8, 2, 'both');
  const angles = [0, 1, 2, 3].flatMap((k) =>
    quarter.slice(k === 0 ? 0 : 1).map((a) => a + (k * Math.PI) / 2),
  );
  return run(
    annulus(
      circle(radius),
      square,
      angles,
      graded(0, 1, 6, 2, 'low'),
      (a) => (all || Math.abs(Math.cos(a)) > Math.abs(Math.sin(a)) ? 1 : 2),
      NAMES,
    ),
  );
}

const channels = { 1: once(() => channel(1)), 5: once(() => channel(5)) };
const wide = once(() => eccentric(1, 10, 0));
const close = once(() => eccentric(1, 2, 0.5));
const tanks = {
  'thin-four': { solved: once(() => tank(0.1, true)), radius: 0.1 },
  'thick-four': { solved: once(() => tank(0.5, true)), radius: 0.5 },
  'two-walls': { solved: once(() => tank(0.3, false)), radius: 0.3 },
};

export const study: Study = {
  ...Object.fromEntries(
    Object.entries(channels).flatMap(([length, solved]) => [
      [`channel-${length}-resistance`, () => plane(solved())],
      ...[0, 0.5, 0.8, 0.9].map((s) => [
        `channel-${length}-${s}`,
        () => ratioAt(solved(), (s * Number(length)) / 2, 0, MIDDLE),
      ]),
    ]),
  ),
  'rectangle-1-0.25': () => plane(rectangular(1, 0.25)),
  'rectangle-2-0.5': () => plane(rectangular(2, 0.5)),
  'cylinders-10-0': () => plane(wide()),
  'cylinders-2-0.5': () => plane(close()),
  'cylinders-2-0.5-most': () => ratioAt(close(), 1.5, 0, MIDDLE),
  'cylinders-2-0.5-least': () => ratioAt(close(), -0.5, 0, MIDDLE),
  ...Object.fromEntries(
    Object.entries(tanks).flatMap(([name, { solved, radius }]) => [
      [`tank-${name}-resistance`, () => plane(solved())],
      ...[0, 45, 90].map((deg) => [
        `tank-${name}-${deg}`,
        () =>
          ratioAt(
            solved(),
            radius * Math.cos((deg * Math.PI) / 180),
            radius * Math.sin((deg * Math.PI) / 180),
            MIDDLE,
          ),
      ]),
    ]),
  ),
};
