import { describe, expect, test } from 'vitest';
import { monotoneTable, overpotentialAt, solverLaw } from './laws.js';
import type { Law, Role } from './problem.js';

const LAWS: [string, Role, Law][] = [
  ['linear', 'cathode', { kind: 'linear', resistance: 5e-4 }],
  ['tafel at a cathode', 'cathode', { kind: 'tafel', exchangeCurrentDensity: 0.1, slope: 0.12 }],
  ['tafel at an anode', 'anode', { kind: 'tafel', exchangeCurrentDensity: 2, slope: 0.05 }],
  ['tafel both ways', 'floating', { kind: 'tafel', exchangeCurrentDensity: 1, slope: 0.1 }],
  [
    'butler-volmer',
    'anode',
    {
      kind: 'butler-volmer',
      exchangeCurrentDensity: 10,
      anodicTransfer: 1.5,
      cathodicTransfer: 0.5,
      temperature: 298.15,
    },
  ],
  [
    'tafel with a limit',
    'cathode',
    { kind: 'tafel', exchangeCurrentDensity: 0.1, slope: 0.12, limitingCurrentDensity: 300 },
  ],
  [
    'table',
    'cathode',
    { kind: 'table', overpotential: [-0.6, -0.3, -0.1, 0], currentDensity: [-900, -200, -5, 0] },
  ],
];

describe.each(LAWS)('%s', (_, role, law) => {
  const { curve } = solverLaw({ role, law });

  test('rises, and its slope is the derivative', () => {
    let before = Number.NEGATIVE_INFINITY;
    for (let eta = -0.7; eta < 0.4; eta += 0.013) {
      const [i, slope] = curve!.at(eta);
      const h = 1e-7;
      expect(i).toBeGreaterThan(before);
      expect(slope).toBeGreaterThan(0);
      const numeric = (curve!.at(eta + h)[0] - curve!.at(eta - h)[0]) / (2 * h);
      expect(Math.abs(numeric / slope - 1)).toBeLessThan(1e-3);
      before = i;
    }
  });

  test('gives back the overpotential of its own current density', () => {
    for (const eta of [-0.5, -0.2, -0.01]) {
      const found = overpotentialAt(curve!, curve!.at(eta)[0], 0.1);
      expect(found).toBeCloseTo(eta, 6);
    }
  });
});

test('Tafel by the worked line eta = 0.120 log10(i / 0.1 A/m2): 161.50 A/m2 at -0.38498 V', () => {
  const { curve } = solverLaw({
    role: 'cathode',
    law: { kind: 'tafel', exchangeCurrentDensity: 0.1, slope: 0.12 },
  });
  expect(curve!.at(-0.38498131)[0]).toBeCloseTo(-161.501869, 3);
});

test('a limit is reached, never passed, and holds back only the direction the role runs in', () => {
  const law: Law = { kind: 'linear', resistance: 1e-3, limitingCurrentDensity: 100 };
  const { curve } = solverLaw({ role: 'cathode', law });
  expect(curve!.at(-1e6)[0]).toBeGreaterThan(-100.001);
  expect(curve!.at(-0.1)[0]).toBeCloseTo(-50, 10);
  expect(curve!.at(0.1)[0]).toBeCloseTo(100, 10);
  expect(overpotentialAt(curve!, -150, 0)).toBeNaN();
});

test('wild overpotentials give finite numbers', () => {
  for (const [, role, law] of LAWS) {
    const { curve } = solverLaw({ role, law });
    for (const eta of [-1e6, -50, 50, 1e6])
      for (const v of curve!.at(eta)) expect(Number.isFinite(v)).toBe(true);
  }
});

test('a table passes through its points and does not overshoot between them', () => {
  const x = [0, 1, 1.1, 5];
  const y = [0, 0.1, 8, 8.1];
  const curve = monotoneTable(x, y);
  x.forEach((v, k) => {
    expect(curve.at(v)[0]).toBeCloseTo(y[k], 12);
  });
  for (let v = 0; v < 5; v += 0.01) {
    const k = x.findLastIndex((at) => at <= v);
    expect(curve.at(v)[0]).toBeGreaterThanOrEqual(y[k] - 1e-12);
    expect(curve.at(v)[0]).toBeLessThanOrEqual(y[k + 1] + 1e-12);
  }
});
