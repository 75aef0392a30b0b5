import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import { plateable } from '../finish/index.js';
import { adhesionTests, bakePlan, certificate, thicknessPerStep, weighedThickness } from './index.js';

const practice = testPractice();
const library = testLibrary();
const metal = (name: string) => {
  const found = plateable(library, name);
  if (!found.ok) throw new Error(name);
  return found.value;
};

describe('bake', () => {
  const plan = (mpa: number, deposit?: string) => {
    const found = bakePlan(practice, mpa * 1e6, deposit);
    if (!found.ok) throw new Error(found.problems[0]!.message);
    return found.value;
  };

  it.each([
    [1050, 8],
    [1150, 10],
    [1250, 12],
    [1350, 14],
    [1450, 16],
    [1550, 18],
    [1650, 20],
  ])('%d MPa bakes %d h at 190-220 C (ASTM B850 as posted)', (mpa, hours) => {
    const { after } = plan(mpa);
    expect(after!.time).toBe(hours * 3600);
    expect(after!.temperature).toEqual({ min: 463.15, max: 493.15 });
    expect(after!.startWithin).toBe(4 * 3600);
  });

  it('asks for none at or below 1000 MPa, and refuses above 1700 MPa', () => {
    expect(plan(1000).after).toBeUndefined();
    expect(plan(600).before).toBeUndefined();
    expect(bakePlan(practice, 1750e6).ok).toBe(false);
    expect(bakePlan(practice, Number.NaN).ok).toBe(false);
  });

  it('keeps tin below its melting', () => {
    expect(plan(1100, 'tin').after!.temperature.max).toBe(473.15);
  });
});

describe('weighing', () => {
  it.each([
    ['nickel', 0.01, 20, 0.56],
    ['nickel', 0.01, 5, 2.2],
    ['nickel', 1, 100, 11],
  ])('on %s one step of %d g over %d cm2 is %d um', (name, grams, cm2, um) => {
    // The hand calculation is rounded to two digits.
    expect(Math.abs((thicknessPerStep(metal(name), grams / 1000, cm2 * 1e-4) * 1e6) / um - 1)).toBeLessThan(
      0.03,
    );
  });

  const nickel = metal('nickel');
  const part = {
    before: 0.05,
    after: 0.05 + 8e-6 * 20e-4 * nickel.density,
    step: 1e-5,
    area: 20e-4,
    areaUncertainty: 0.1,
  };

  it('gives the thickness with the doubt of scale and area', () => {
    const found = weighedThickness(nickel, part);
    expect(found.mean).toBeCloseTo(8e-6, 10);
    expect(found.low).toBeLessThan(7.2e-6 + 1e-9);
    expect(found.high).toBeGreaterThan(8.8e-6 - 1e-9);
    expect(found.unseen).toBe(false);
  });

  it('says when the scale cannot see it', () => {
    const thin = { ...part, after: part.before + 1e-5, area: 1e-4 };
    expect(weighedThickness(nickel, { ...thin, step: 1e-3 }).unseen).toBe(true);
    expect(weighedThickness(nickel, { ...part, after: part.before }).unseen).toBe(true);
  });

  it('gives the efficiency where the charge was counted', () => {
    // 1.0402 g of nickel from 1 Ah is 95 % (Faraday).
    const found = weighedThickness(nickel, {
      before: 0.1,
      after: 0.1010402,
      step: 1e-5,
      area: 0.01,
      areaUncertainty: 0.05,
      charge: 3600,
    });
    expect(found.efficiency!.value).toBeCloseTo(0.95, 3);
    expect(found.mean * 1e6).toBeCloseTo(11.677, 2);
    expect(found.efficiency!.high - found.efficiency!.low).toBeCloseTo(
      (2 * 1.6449 * Math.SQRT2 * 1e-5) / Math.sqrt(3) / 1.09497e-3,
      4,
    );
  });
});

describe('acceptance', () => {
  it('names all eleven tests of ASTM B571', () => {
    expect(practice.adhesion.size).toBe(11);
  });

  it('keeps what the part survives first and sends the rest to a coupon', () => {
    const tests = adhesionTests(practice, { thickness: 15e-6, metal: 'nickel', base: 'brass' });
    expect(tests[0]!.onCoupon).toBe(false);
    expect(tests.map((t) => t.id)).toContain('heat-quench');
    expect(tests.map((t) => t.id)).not.toContain('bend'); // bright nickel cracks
    expect(tests.find((t) => t.id === 'heat-quench')!.how).toContain('250 C');
    expect(
      adhesionTests(practice, { thickness: 15e-6, metal: 'copper', base: 'brass' }).map((t) => t.id),
    ).toContain('bend');
  });

  it('does not heat tin or hard steel for a test', () => {
    for (const request of [
      { thickness: 15e-6, metal: 'tin', base: 'brass' },
      { thickness: 15e-6, metal: 'nickel', base: 'hard-steel' },
    ])
      expect(adhesionTests(practice, request).map((t) => t.id)).not.toContain('heat-quench');
  });

  it('certifies what was measured and admits what was not', () => {
    const { measured, notMeasured } = certificate([
      { what: 'mean thickness', result: '8.1 um', how: 'weighed' },
      { what: 'adhesion', result: 'no lifting', how: 'burnish, ASTM B571' },
    ]);
    expect(measured).toHaveLength(2);
    expect(notMeasured).toContain('nickel release (EN 1811)');
    expect(notMeasured).not.toContain('adhesion');
  });
});
