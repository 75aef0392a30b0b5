import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { describe, expect, test } from 'vitest';
import { fastOperator } from './fast/index.js';
import type { Law, PatchSpec } from './problem.js';
import { FieldSolver } from './solver.js';
import { boxPatches, type ChartPatch, chartSurface, graded, spherePatches } from './testing/surfaces.js';

const SEED = Number(process.env.SEED ?? 7);

/** Bodies thrown into a tank of unit size: spheres and thin plates, some nearly touching, with any role and law. */
function throwSetUp(seed: number) {
  const generator = xoroshiro128plus(seed);
  const random = () => uniformFloat64(generator);
  const between = (a: number, b: number) => a + (b - a) * random();
  const logBetween = (a: number, b: number) => a * (b / a) ** random();
  const law = (): Law => {
    const pick = Math.floor(between(0, 5));
    if (pick === 0) return { kind: 'fixed' };
    if (pick === 1) return { kind: 'linear', resistance: logBetween(1e-4, 1e2) };
    if (pick === 2)
      return { kind: 'tafel', exchangeCurrentDensity: logBetween(1e-3, 10), slope: between(0.03, 0.2) };
    const kinetics: Law = {
      kind: 'butler-volmer',
      exchangeCurrentDensity: logBetween(1e-3, 10),
      anodicTransfer: between(0.3, 1.5),
      cathodicTransfer: between(0.3, 1.5),
      temperature: 300,
    };
    return pick === 3 ? kinetics : { ...kinetics, limitingCurrentDensity: logBetween(30, 3000) };
  };
  const patches: PatchSpec[] = [{ role: 'insulator' }];
  const charts: ChartPatch[] = boxPatches(
    [-1, -1, -1],
    [1, 1, 1],
    (a, b) => graded(a, b, 4, 1.5, 'both'),
    () => 0,
  );
  const names = ['tank'];
  const gap = logBetween(1e-3, 0.1);
  const roles = ['cathode', 'anode', random() < 0.5 ? 'floating' : 'insulator'] as const;
  roles.forEach((role, k) => {
    // Side by side along x, `gap` apart; the middle one is a plate in every other set-up.
    const x = [-0.5 - gap, 0.5 + gap, 0][k];
    if (k === 2 && random() < 0.5) {
      const half = logBetween(0.005, 0.05);
      charts.push(
        ...boxPatches(
          [-half, -0.4, -0.4],
          [half, 0.4, 0.4],
          (a, b, axis) => (axis === 0 ? [a, b] : graded(a, b, 6, 2, 'both')),
          () => k + 1,
          k + 1,
        ),
      );
    } else charts.push(...spherePatches([0.25, 0.25, 0.25], 3, k + 1, k + 1, [x, 0, 0]));
    patches.push(role === 'insulator' ? { role } : { role, law: law() });
    names.push(role);
  });
  return { surface: chartSurface(charts, names), patches, current: logBetween(1e-3, 30) };
}

describe(`random set-ups (SEED=${SEED})`, () => {
  test.each(Array.from({ length: 24 }, (_, k) => SEED + k))('seed %i', (seed) => {
    const { surface, patches, current } = throwSetUp(seed);
    const prepared = FieldSolver.prepare({ surface, nodesPerPanel: 3 }, { makeOperator: fastOperator() });
    if (!prepared.ok) throw new Error(JSON.stringify(prepared.problems));
    const result = prepared.value.solve({ conductivity: 10, patches, drive: { current } });
    if (result.status === 'out-of-range') {
      expect(result.remark).toMatch(/limiting current/);
      return;
    }
    expect(result).toMatchObject({ status: 'converged' });
    expect(result.imbalance).toBeLessThan(1e-6);
    expect(Math.abs(result.current / current - 1)).toBeLessThan(1e-6);
    patches.forEach(({ role }, k) => {
      if (role === 'floating') expect(Math.abs(result.patches[k].current)).toBeLessThan(1e-6 * current);
    });
    // The same problem by its voltage gives the same current back.
    const back = prepared.value.solve(
      { conductivity: 10, patches, drive: { voltage: result.cellVoltage } },
      { warm: false },
    );
    expect(back.status).toBe('converged');
    expect(Math.abs(back.current / current - 1)).toBeLessThan(1e-3);
  });
});
