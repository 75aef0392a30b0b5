import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { expect, test } from 'vitest';
import type { PanelSurface } from '../geometry/index.js';
import { orient } from './orient.js';
import { buildPanels } from './panels.js';
import { chartSurface, lowerHemisphere, spherePatches } from './testing/surfaces.js';

/** The panel turned over: corners b and c swapped, mid-sides with them. */
function turned(surface: PanelSurface, which: (p: number) => boolean): PanelSurface {
  const panels = surface.panels.slice();
  for (let p = 0; p < surface.patch.length; p++)
    if (which(p)) {
      const [a, b, c, ab, bc, ca] = surface.panels.subarray(6 * p, 6 * p + 6);
      panels.set([a, c, b, ca, bc, ab], 6 * p);
    }
  return { ...surface, panels };
}

/** For spheres: whether the area vector times the sign points away from the centre. */
function outward(surface: PanelSurface, sign: Int8Array, centre: readonly number[]): boolean[] {
  const panels = buildPanels(surface);
  return Array.from({ length: panels.count }, (_, p) => {
    const c = 18 * p;
    const a = panels.coef.subarray(c + 3, c + 6);
    const b = panels.coef.subarray(c + 6, c + 9);
    const n = [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
    const x = panels.centre.subarray(3 * p, 3 * p + 3);
    return sign[p] * n.reduce((sum, v, d) => sum + v * (x[d] - centre[d]), 0) > 0;
  });
}

const seed = 20240611;

test(`nested spheres with panels turned at random (seed ${seed}): liquid between them, whatever the input says`, () => {
  const random = xoroshiro128plus(seed);
  const inner = [0.3, 0, 0] as const;
  const both = chartSurface(
    [...spherePatches([2, 2, 2], 2, 0), ...spherePatches([0.5, 0.5, 0.5], 2, 1, 1, inner)],
    ['vessel', 'part'],
  );
  for (let round = 0; round < 10; round++) {
    const surface = turned(both, () => (random.next() & 1) === 1);
    const { sign, problems } = orient(buildPanels(surface), undefined, false);
    expect(problems).toEqual([]);
    outward(surface, sign, [0, 0, 0]).forEach((out, p) => {
      if (surface.patch[p] === 0) expect(out).toBe(true);
    });
    outward(surface, sign, inner).forEach((out, p) => {
      if (surface.patch[p] === 1) expect(out).toBe(false);
    });
  }
});

test('without a vessel the liquid is outside', () => {
  const surface = chartSurface(spherePatches([1, 1, 1], 2, 0), ['part']);
  const { sign } = orient(buildPanels(surface), undefined, true);
  expect(outward(surface, sign, [0, 0, 0]).every((out) => !out)).toBe(true);
});

test('a surface with a hole is refused in a vessel, with the place, and a sheet without one', () => {
  const surface = chartSurface(spherePatches([1, 1, 1], 2, 0).slice(1), ['part']);
  const closed = orient(buildPanels(surface), undefined, false);
  expect(closed.problems[0]).toMatchObject({ code: 'surface-open' });
  expect(closed.problems[0].message).toMatch(/mm/);
  const free = orient(buildPanels(surface), undefined, true);
  expect(free.problems).toEqual([]);
  expect(free.sheet.every((s) => s === 1)).toBe(true);
});

test('cut by the mirror plane, a shell is closed by its image', () => {
  const surface = chartSurface([lowerHemisphere(1, 3, 0)], ['part']);
  const { problems, sign } = orient(buildPanels(surface), 0, true);
  expect(problems).toEqual([]);
  expect(outward(surface, sign, [0, 0, 0]).every((out) => !out)).toBe(true);
  expect(orient(buildPanels(surface), 0.1, false).problems[0]).toMatchObject({ code: 'surface-open' });
});

test('two vessels side by side cannot pass current to each other', () => {
  const surface = chartSurface(
    [...spherePatches([1, 1, 1], 1, 0), ...spherePatches([1, 1, 1], 1, 1, 1, [5, 0, 0])],
    ['a', 'b'],
  );
  expect(orient(buildPanels(surface), undefined, false).problems[0]).toMatchObject({
    code: 'separate-liquids',
  });
});
