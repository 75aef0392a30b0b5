import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import { compose } from '../prepare/index.js';
import { handsOn, invoiceLines, type PriceRequest, type Quote, quote } from './index.js';

const base: PriceRequest = {
  currency: 'EUR',
  time: { min: 2 * 3600, max: 3 * 3600 },
  labour: 40,
  metals: [{ name: 'nickel', mass: 0.89e-3, perKilogram: 30 }],
  chemicals: [{ name: 'bath dragged out', volume: 21.5e-6, perLitre: 8 }],
  energy: 0.5 * 3.6e6,
  perKilowattHour: 0.3,
  waste: 0.1,
  wastePerKilogram: 2,
  redo: 0,
  margin: 0,
  tax: 0,
};
const ask = (patch: Partial<PriceRequest> = {}): Quote => {
  const found = quote({ ...base, ...patch });
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
};

describe('a quote', () => {
  it('adds up line by line to the cent', () => {
    const q = ask({ redo: 0.15, margin: 0.2, tax: 0.19 });
    for (const end of ['min', 'max'] as const) {
      expect(q.lines.reduce((sum, l) => sum + l[end], 0)).toBeCloseTo(q.net[end], 9);
      expect(q.total[end]).toBeCloseTo(q.net[end] + q.tax[end], 9);
      for (const l of q.lines) expect(Math.abs(l[end] * 100 - Math.round(l[end] * 100))).toBeLessThan(1e-6);
    }
  });

  it('shows that the metal of nickel is nothing beside the hands', () => {
    const q = ask();
    expect(q.lines.find((l) => l.what === 'nickel')!.max).toBe(0.03); // 0.89 g at 30 a kilogram
    expect(q.labourShare).toBeGreaterThan(0.95);
  });

  it('charges a redo of one in two as one whole job more', () => {
    const plainCost = ask().net.max;
    expect(ask({ redo: 0.5 }).net.max).toBeCloseTo(2 * plainCost, 1);
    expect(ask({ redo: 0.2 }).net.max).toBeCloseTo(1.25 * plainCost, 1);
  });

  it('refuses what cannot be, all at once', () => {
    const found = quote({ ...base, redo: 1, labour: -1, time: { min: 5, max: 1 } });
    expect(found.ok ? [] : found.problems.map((p) => p.path)).toEqual(['time', 'labour', 'redo']);
  });

  it('makes an invoice of the agreed price only', () => {
    expect(invoiceLines(ask(), 120, 0.19, ['Lamp foot: nickel 15 um'])).toEqual([
      'Lamp foot: nickel 15 um',
      'net 120.00 EUR',
      'tax 22.80 EUR',
      'total 142.80 EUR',
    ]);
  });
});

describe('hands-on time', () => {
  const practice = testPractice();
  const steps = compose(practice, practice.substrates.get('brass')!, practice.deposits.get('nickel')!).steps;

  it('takes the time of past jobs where there is some', () => {
    const own = handsOn(steps, { 'finish-surface': 900 });
    expect(own.find((s) => s.id === 'finish-surface')).toMatchObject({ min: 900, max: 900 });
    expect(handsOn(steps).find((s) => s.id === 'finish-surface')!.max).toBe(3 * 3600);
  });

  it('counts a plating step by its attendance only', () => {
    expect(handsOn(steps).find((s) => s.id === 'nickel')!.max).toBe(300);
    for (const s of handsOn(steps)) expect(s.max).toBeGreaterThanOrEqual(s.min);
  });
});
