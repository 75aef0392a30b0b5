import type { Law } from '../../src/field/index.js';
import { graded } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import {
  anode,
  cathode,
  DEPTH,
  linear,
  once,
  planeCell,
  ratioAt,
  resistance,
  type Solved,
  solve,
  wall,
} from './tools.js';

/** The trapezoidal test cell of 267 ml [m]: anode, short and long wall perpendicular to it, cathode across. */
const ANODE = 0.0635;
const SHORT = 0.047625;
const LONG = 0.127;
const LENGTH = Math.hypot(ANODE, LONG - SHORT);
const SIZE = 0.05;
const HEIGHT = DEPTH * SIZE;
const KAPPA = 10;
/** Mean current density of the Tafel cases [A/m2]; it cancels. */
const MEAN = 100;

function cell(law: Law, drive: { current: number } | { voltage: number }): Solved {
  // The near (obtuse) end of the cathode is singular, the others are not: u = 0 is the short wall.
  const u = graded(0, 1, 12, 2.2, 'both');
  const v = graded(0, 1, 8, 2, 'both');
  const across = (s: number): number => SHORT + s * (LONG - SHORT);
  const geometry = planeCell(
    [
      { curve: (s) => [s * ANODE, across(s)], u, patch: 0 },
      { curve: (s) => [s * ANODE, 0], u, patch: 1 },
      { curve: (t) => [0, t * SHORT], u: v, patch: 2 },
      { curve: (t) => [ANODE, t * LONG], u: v, patch: 2 },
    ],
    { map: (s, t) => [s * ANODE, t * across(s)], u, v },
    ['cathode', 'anode', 'wall', 'floor'],
    SIZE,
  );
  return solve(geometry, { conductivity: KAPPA, patches: [cathode(law), anode(), wall, wall], drive });
}

const at = (solved: Solved, s: number): number =>
  ratioAt(solved, s * ANODE, SHORT + s * (LONG - SHORT), HEIGHT / 2);

/** R kappa depth. */
const star = (solved: Solved): number => resistance(solved) * KAPPA * HEIGHT;

const primary = once(() => cell({ kind: 'fixed' }, { voltage: 1 }));
const byWagner = (wa: number) => once(() => cell(linear((wa * LENGTH) / KAPPA), { voltage: 1 }));
const straight = { 0.05: byWagner(0.05), 0.1: byWagner(0.1), 0.2: byWagner(0.2), 1: byWagner(1) };
const tafel = Object.fromEntries(
  [0.1, 1].map((wa) => [
    wa,
    once(() =>
      cell(
        {
          kind: 'tafel',
          exchangeCurrentDensity: 0.01 * MEAN,
          slope: (Math.LN10 * wa * MEAN * LENGTH) / KAPPA,
        },
        { current: MEAN * LENGTH * HEIGHT },
      ),
    ),
  ]),
);

const PLACES = [0.05, 0.1, 0.2, 0.4, 0.6, 0.8, 0.9, 0.95];

export const study: Study = {
  'primary-resistance': () => star(primary()),
  ...Object.fromEntries(PLACES.map((s) => [`primary-${s}`, () => at(primary(), s)])),
  ...Object.fromEntries(
    Object.entries(straight).flatMap(([wa, solved]) => [
      ...(wa === '0.1' ? [] : [[`linear-${wa}-resistance`, () => star(solved())]]),
      ...(wa === '0.1' || wa === '1' ? PLACES.map((s) => [`linear-${wa}-${s}`, () => at(solved(), s)]) : []),
    ]),
  ),
  ...Object.fromEntries(
    Object.entries(tafel).flatMap(([wa, solved]) =>
      PLACES.map((s) => [`tafel-${wa}-${s}`, () => at(solved(), s)]),
    ),
  ),
};
