import { describe, expect, test } from 'vitest';
import type { PanelSurface } from '../geometry/index.js';
import { fastOperator, soloCrew } from './fast/index.js';
import { plainNear } from './near.js';
import { type PointCloud, plainOperator } from './operator.js';
import { potentialAt, surfaceAt } from './probe.js';
import type { Law, PatchSpec } from './problem.js';
import { FieldSolver, solveField } from './solver.js';
import { chartSurface, lowerHemisphere, spherePatches } from './testing/surfaces.js';

const fixed: Law = { kind: 'fixed' };
const cathode = (law: Law): PatchSpec => ({ role: 'cathode', law });
const anode = (law: Law): PatchSpec => ({ role: 'anode', law });
const R1 = 0.005;
const R2 = 0.05;

function concentric(offset = 0) {
  return chartSurface(
    [...spherePatches([R1, R1, R1], 2, 0, 0, [offset, 0, 0]), ...spherePatches([R2, R2, R2], 2, 1, 1)],
    ['part', 'shell'],
  );
}

function prepared(surface = concentric()): FieldSolver {
  const outcome = FieldSolver.prepare({ surface, nodesPerPanel: 3 });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

const bv = (i0: number, a: number, c: number): Law => ({
  kind: 'butler-volmer',
  exchangeCurrentDensity: i0,
  anodicTransfer: a,
  cathodicTransfer: c,
  temperature: 298.15,
});

describe('concentric spheres (one-dimensional closed form, solved with Newman and Thomas-Alyea ch. 18 conventions)', () => {
  const solver = prepared();
  const area = (r: number) => 4 * Math.PI * r * r;
  const ohmic = (1 / R1 - 1 / R2) / (4 * Math.PI);
  const cases: [string, number, number, Law, Law, number][] = [
    ['primary', 10, 2, fixed, fixed, 2 / (ohmic / 10)],
    ['butler-volmer copper', 50, 0.5, bv(10, 1.5, 0.5), bv(10, 1.5, 0.5), 0.708660566],
    [
      'linear',
      10,
      2,
      { kind: 'linear', resistance: 5e-4 },
      { kind: 'linear', resistance: 2e-4 },
      2 / (ohmic / 10 + 5e-4 / area(R1) + 2e-4 / area(R2)),
    ],
  ];
  test.each(cases)('%s', (_, conductivity, voltage, lawC, lawA, current) => {
    const result = solver.solve({ conductivity, patches: [cathode(lawC), anode(lawA)], drive: { voltage } });
    expect(result.status).toBe('converged');
    // Eight panels around: their area lacks 0.4 %, which is what is seen here. Refinement is watched in cases/field.
    expect(Math.abs(result.current / current - 1)).toBeLessThan(4e-3);
    expect(result.imbalance).toBeLessThan(1e-6);
  });

  test('a current asked for is the current that flows, and volts follow', () => {
    const law: Law = { kind: 'tafel', exchangeCurrentDensity: 0.1, slope: 0.12 };
    const byCurrent = solver.solve({
      conductivity: 10,
      patches: [cathode(law), anode(fixed)],
      drive: { current: 0.7 },
    });
    expect(byCurrent.current).toBeCloseTo(0.7, 6);
    const byVoltage = solver.solve({
      conductivity: 10,
      patches: [cathode(law), anode(fixed)],
      drive: { voltage: byCurrent.cellVoltage },
    });
    expect(byVoltage.current / 0.7).toBeCloseTo(1, 5);
  });

  test('near its limiting current the part is evenly covered; beyond, the answer says so', () => {
    const limited: Law = {
      kind: 'tafel',
      exchangeCurrentDensity: 0.1,
      slope: 0.12,
      limitingCurrentDensity: 1000,
    };
    const patches = [cathode(limited), anode(fixed)];
    const most = 1000 * area(R1);
    const near = solver.solve({ conductivity: 10, patches, drive: { current: 0.98 * most } });
    expect(near.status).toBe('converged');
    expect(solver.solve({ conductivity: 10, patches, drive: { current: 1.1 * most } })).toMatchObject({
      status: 'out-of-range',
      remark: expect.stringContaining('limiting current'),
    });
  });

  test('probes: the potential between the spheres falls like 1/r, and the nearest wall point carries its current', () => {
    const result = solver.solve({
      conductivity: 10,
      patches: [cathode(fixed), anode(fixed)],
      drive: { voltage: 2 },
    });
    const radii = [0.0051, 0.01, 0.03, 0.0499];
    const points = Float64Array.from(radii.flatMap((r) => [0, 0.6 * r, 0.8 * r]));
    potentialAt(solver, result, points, 10).forEach((v, k) => {
      const exact = (2 * (1 / R1 - 1 / radii[k])) / (1 / R1 - 1 / R2);
      expect(Math.abs(v - exact)).toBeLessThan(0.01);
    });
    expect(potentialAt(solver, result, Float64Array.of(0, 0, 0), 10)[0]).toBeNaN();
    const [near] = surfaceAt(solver, result, Float64Array.of(0, 0, 0.01));
    expect(near.patch).toBe(0);
    expect(near.distance).toBeCloseTo(0.005, 6);
    // At a corner of these coarse panels, where the linear current density is extrapolated farthest.
    expect(Math.abs(near.currentDensity / result.patches[0].meanCurrentDensity - 1)).toBeLessThan(0.05);
  });
});

test('a floating sphere carries no net current but takes some in and gives as much out', () => {
  const surface = chartSurface(
    [
      ...spherePatches([1, 1, 1], 2, 0, 0, [-3, 0, 0]),
      ...spherePatches([1, 1, 1], 2, 1, 1, [3, 0, 0]),
      ...spherePatches([0.5, 0.5, 0.5], 2, 2, 2),
    ],
    ['part', 'anode', 'loose'],
  );
  const outcome = solveField({
    conductivity: 1,
    surface,
    unbounded: true,
    patches: [cathode(fixed), anode(fixed), { role: 'floating', law: { kind: 'linear', resistance: 0.1 } }],
    drive: { current: 2 },
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { patches, nodes, status } = outcome.value;
  expect(status).toBe('converged');
  expect(Math.abs(patches[2].current)).toBeLessThan(1e-6);
  const through = nodes.currentDensity.reduce(
    (sum, i, k) => (surface.patch[nodes.panel[k]] === 2 ? sum + Math.abs(i) * nodes.weight[k] : sum),
    0,
  );
  expect(through).toBeGreaterThan(0.02);
  // By symmetry the loose sphere sits half way between the metals.
  expect(patches[2].potential / outcome.value.cellVoltage).toBeCloseTo(0.5, 4);
});

test('two equal spheres as anode and cathode, centres 4 radii apart: R 4 pi kappa a = 1.49136 (Maxwell, Smythe)', () => {
  const surface = chartSurface(
    [...spherePatches([1, 1, 1], 4, 0, 0, [-2, 0, 0]), ...spherePatches([1, 1, 1], 4, 1, 1, [2, 0, 0])],
    ['a', 'b'],
  );
  const outcome = solveField({
    conductivity: 1,
    surface,
    unbounded: true,
    patches: [cathode(fixed), anode(fixed)],
    drive: { voltage: 1 },
  });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { cellVoltage, current, imbalance } = outcome.value;
  expect(Math.abs(((cellVoltage / current) * 4 * Math.PI) / 1.49135779068 - 1)).toBeLessThan(1e-3);
  expect(imbalance).toBeLessThan(1e-6);
});

test('a sphere half immersed has twice the resistance of one in open liquid (mirror), and probes see the mirror', () => {
  const surface = chartSurface([lowerHemisphere(1, 4, 0)], ['part']);
  const prepared = FieldSolver.prepare({ surface, unbounded: true, mirrorHeight: 0, nodesPerPanel: 6 });
  if (!prepared.ok) throw new Error(JSON.stringify(prepared.problems));
  const result = prepared.value.solve({ conductivity: 1, patches: [cathode(fixed)], drive: { current: 1 } });
  expect(Math.abs((result.cellVoltage / result.current) * 2 * Math.PI - 1)).toBeLessThan(1e-3);
  const [near] = potentialAt(prepared.value, result, Float64Array.of(0, 2, -0.001), 1);
  expect(near / (result.patches[0].potential / 2)).toBeCloseTo(1, 2);
});

test.each(['plain', 'fast'])('moving a body and solving again is the same as starting anew: %s', (way) => {
  const crew = soloCrew();
  const makeOperator = way === 'fast' ? fastOperator(crew, { tolerance: 1e-7 }) : plainOperator;
  const start = (surface: PanelSurface): FieldSolver => {
    const outcome = FieldSolver.prepare({ surface, nodesPerPanel: 3 }, { makeOperator });
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    return outcome.value;
  };
  const kinetics = {
    conductivity: 10,
    patches: [cathode({ kind: 'linear', resistance: 5e-4 } as Law), anode(fixed)],
    drive: { voltage: 1 },
  };
  let solver = start(concentric());
  solver.solve(kinetics);
  const kept = solver.layers.near.get('1/1');
  let most = 0;
  for (let k = 1; k <= 6; k++) {
    const there = concentric(k % 2 ? 0.02 : 0.01);
    // The shell is said to have changed as well now and then, as after meshing anew; it did not.
    const moved = solver.moved({ surface: there, nodesPerPanel: 3 }, k % 2 ? [0, 1] : [0]);
    if (!moved.ok) throw new Error(JSON.stringify(moved.problems));
    solver = moved.value;
    const again = solver.solve(kinetics);
    expect(solver.layers.near.get('1/1')).toBe(kept);
    if (k === 2) most = crew.arena.used;
    if (k > 2) continue;
    const fresh = start(there);
    expect(Math.abs(again.current / fresh.solve(kinetics).current - 1)).toBeLessThan(1e-6);
    fresh.release();
  }
  // What no longer counts is given back at once, not only when the collector comes by.
  expect(crew.arena.used).toBeLessThanOrEqual(1.2 * most);
});

test('a liquid level that moves makes all near integrals anew', () => {
  const kinetics = { conductivity: 1, patches: [cathode(fixed), anode(fixed)], drive: { voltage: 1 } };
  const surface = concentric();
  const at = (mirrorHeight: number) => ({ surface, nodesPerPanel: 3 as const, mirrorHeight });
  const first = FieldSolver.prepare(at(R2 + 1e-3));
  const fresh = FieldSolver.prepare(at(R2 + 1e-2));
  if (!first.ok || !fresh.ok) throw new Error('not prepared');
  const moved = first.value.moved(at(R2 + 1e-2), []);
  if (!moved.ok) throw new Error('not moved');
  expect(moved.value.solve(kinetics).current).toBeCloseTo(fresh.value.solve(kinetics).current, 9);
});

test('running out of memory is a problem with a sentence, not an exception', () => {
  const near = {
    ...plainNear,
    build: () => {
      throw new RangeError('Maximum memory size exceeded');
    },
  };
  const outcome = FieldSolver.prepare(
    { surface: concentric() },
    { makeOperator: Object.assign((cloud: PointCloud) => plainOperator(cloud), { near }) },
  );
  expect(outcome.ok ? [] : outcome.problems.map((p) => p.code)).toEqual(['too-large']);
});
