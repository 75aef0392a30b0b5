import { expect, test } from 'vitest';
import { solveAdaptively } from './adapt.js';
import { solveWithEstimate } from './estimate.js';
import { fastOperator } from './fast/index.js';
import { HALF_AB, HALF_BC, HALF_CA, QUARTERS, splitPanels, woundSurface } from './refine.js';
import { boxPatches, chartSurface, spherePatches } from './testing/surfaces.js';

const alone = {
  conductivity: 1,
  patches: [{ role: 'cathode', law: { kind: 'fixed' } } as const],
  drive: { voltage: 1 },
};
const twelve = chartSurface(
  boxPatches(
    [0, 0, 0],
    [1, 1, 1],
    (a, b) => [a, b],
    () => 0,
  ),
  ['cube'],
);
/** Helsing and Perfekt 2013, as in cases/field/capacitance.yaml. */
const CUBE = 1 / (4 * Math.PI * 0.66067815409957);

test('a cube of twelve triangles is cut until the goal is met, and the estimate covers the true error', () => {
  const goal = { resistance: 1.5e-3, quantiles: 1, mostPanels: 400 };
  const outcome = solveAdaptively({ surface: twelve, unbounded: true }, alone, goal, {
    makeOperator: fastOperator(),
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { figures, errors, surface, rounds } = outcome.value;
  const error = Math.abs(figures.resistance / CUBE - 1);
  expect(rounds).toBeGreaterThan(1);
  expect(surface.patch.length).toBeLessThan(goal.mostPanels + 4);
  expect(error).toBeLessThan(0.001);
  expect(errors!.resistance).toBeGreaterThan(error);
});

test('cutting keeps the area and the way panels face, whichever way they are cut', () => {
  const sphere = chartSurface(spherePatches([1, 1, 1], 1, 0), ['a']);
  const wound = woundSurface(sphere, undefined, true);
  if (!wound.ok) throw new Error('refused');
  const whole = solveWithEstimate({ surface: wound.value, unbounded: true, nodesPerPanel: 6 }, alone);
  for (const cut of [HALF_AB, HALF_BC, HALF_CA, QUARTERS]) {
    const { surface, parent } = splitPanels(wound.value, new Uint8Array(12).fill(cut));
    expect(surface.patch.length).toBe(cut === QUARTERS ? 48 : 24);
    expect(new Set(parent).size).toBe(12);
    const finer = solveWithEstimate({ surface, unbounded: true, nodesPerPanel: 6 }, alone);
    if (!finer.ok || !whole.ok) throw new Error('refused');
    const areas = [whole, finer].map((o) => o.value.result.patches[0].area);
    expect(areas[1] / areas[0]).toBeCloseTo(1, 2);
    expect(finer.value.figures.resistance / whole.value.figures.resistance).toBeCloseTo(1, 2);
  }
});

test('estimates on smooth and on singular bodies are at least the true error of the panels', () => {
  const even = chartSurface(
    boxPatches(
      [0, 0, 0],
      [1, 1, 1],
      (a, b) => [a, 0.25, 0.5, 0.75, b],
      () => 0,
    ),
    ['cube'],
  );
  for (const nodesPerPanel of [3, 6] as const) {
    const outcome = solveWithEstimate({ surface: even, unbounded: true, nodesPerPanel }, alone);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const { figures, errors } = outcome.value;
    const error = Math.abs(figures.resistance / CUBE - 1);
    expect(errors!.resistance).toBeGreaterThan(error);
    expect(errors!.resistance).toBeLessThan(100 * error);
  }
});
