import type { Law } from '../../src/field/index.js';
import type { Study } from '../runner.js';
import { cathode, disc, linear, once, ratioAt, resistance, type Solved, solve } from './tools.js';

/**
 * A disc flush in an insulating plane is half of a disc in open liquid, wetted on both faces: equal by symmetry, so its
 * resistance is twice that of the two faces together.
 */
const RADII = [0, 0.25, 0.5, 0.75, 0.9];

function flush(law: Law, drive: { current: number } | { voltage: number }): Solved {
  return solve(
    { surface: disc(8, 20, 2.5), unbounded: true, nodesPerPanel: 6 },
    { conductivity: 1, patches: [cathode(law)], drive },
  );
}

const primary = once(() => flush({ kind: 'fixed' }, { voltage: 1 }));
const secondary = Object.fromEntries(
  [0.1, 1, 5, 20].map((j) => [j, once(() => flush(linear(1 / j), { voltage: 1 }))]),
);
/** delta = mean i r0 / (kappa beta); with i0 at 1 % of the mean the exponential branch is all there is. */
const tafel = Object.fromEntries(
  [0.1, 1, 5].map((delta) => [
    delta,
    once(() =>
      flush(
        { kind: 'tafel', exchangeCurrentDensity: 0.01, slope: Math.LN10 / delta },
        { current: 2 * Math.PI },
      ),
    ),
  ]),
);

/** Off the axes of the panels, where several meet. */
const at = (solved: Solved, r: number): number => ratioAt(solved, r * Math.cos(0.2), r * Math.sin(0.2), 0);

export const study: Study = {
  'primary-resistance': () => 2 * resistance(primary()),
  ...Object.fromEntries(RADII.map((r) => [`primary-${r}`, () => at(primary(), r)])),
  ...Object.fromEntries(
    Object.entries(secondary).flatMap(([j, solved]) => [
      [`linear-${j}-resistance`, () => 2 * resistance(solved())],
      ...RADII.map((r) => [`linear-${j}-${r}`, () => at(solved(), r)]),
    ]),
  ),
  ...Object.fromEntries(
    Object.entries(tafel).flatMap(([delta, solved]) =>
      RADII.map((r) => [`tafel-${delta}-${r}`, () => at(solved(), r)]),
    ),
  ),
};
