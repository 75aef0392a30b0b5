import { describe, expect, it } from 'vitest';
import { chargeUntil, dummy, rinseRatio, stillRinse, titrate, type Upkeep, upkeepAt } from './upkeep.js';

const off = (value: number, expected: number): number => Math.abs(value / expected - 1);
const watts: Upkeep = {
  volume: 1e-2,
  metal: 80,
  molarMass: 58.6934e-3,
  electrons: 2,
  anodeEfficiency: 1,
  cathodeEfficiency: 0.95,
  dragOut: 0,
  evaporation: 0,
};
const AH = 3600;

describe('upkeep', () => {
  it('1000 Ah at 95 and 100 % put in 1094.97 g and take out 1040.22 g of nickel (Faraday, worked apart)', () => {
    const p = upkeepAt(watts, 1000 * AH);
    expect(off(p.dissolved, 1.09497)).toBeLessThan(1e-4);
    expect(off(p.deposited, 1.04022)).toBeLessThan(1e-4);
    expect(off((p.metal - 80) * 1e-2, 0.05475)).toBeLessThan(2e-4);
  });
  it('keeps the metal: put in, taken out and dragged out make up the change', () => {
    const p = upkeepAt({ ...watts, dragOut: 2e-9 }, 5e6);
    expect(Math.abs(80 * 1e-2 + p.dissolved - p.deposited - p.dragged - p.metal * 1e-2)).toBeLessThan(1e-12);
    expect(p.dragged).toBeGreaterThan(0);
  });
  it('tends to the balance of gain and drag-out (closed form)', () => {
    const bath = { ...watts, dragOut: 2e-9 };
    const steady = (0.05 * 58.6934e-3) / (2 * 96485.33) / 2e-9;
    expect(off(upkeepAt(bath, 1e11).metal, steady)).toBeLessThan(1e-6);
  });
  it('acid is lost where the cathode makes more hydrogen than the anode oxygen: 5 % of the charge', () => {
    expect(off(upkeepAt(watts, 96485.33).acid, 0.05)).toBeLessThan(1e-6);
  });
  it('says when metal leaves its window, or never', () => {
    const q = chargeUntil(watts, 60, 90);
    expect(off(upkeepAt(watts, q).metal, 90)).toBeLessThan(1e-6);
    expect(chargeUntil({ ...watts, anodeEfficiency: 0.95 }, 60, 90)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('rinsing', () => {
  it('counter-flow ratios for a thousandfold: 999, 31.1109, 9.64197, 5.33962 (mass balance, worked apart)', () => {
    [999, 31.1109, 9.64197, 5.33962].forEach((r, i) => {
      expect(off(rinseRatio(1000, i + 1), r)).toBeLessThan(1e-5);
    });
  });
  it('a still rinse fills up with what is dragged in', () => {
    expect(stillRinse(1e-6, 1e-3, 1)).toBeCloseTo(1e-3, 6);
    expect(stillRinse(1e-6, 1e-3, 1e6)).toBeCloseTo(1, 6);
  });
});

describe('titration', () => {
  const nickel = { metal: 'Ni', molarMass: 58.6934e-3, sample: 2e-6, strength: 100 };
  it('2 mL and 0.1 mol/L: 2.93467 g/L for every mL; 26.0 mL are 76.301 g/L (one to one, worked apart)', () => {
    const read = titrate({ ...nickel, titrant: 26e-6 }, 5e-8);
    expect(read.ok && off(read.value.metal, 76.301)).toBeLessThan(1e-5);
    expect(read.ok && read.value.note).toContain('zinc');
  });
  it('a published example: 12.4 mL of 0.01 mol/L on 50 mL is 145.56 mg/L', () => {
    const read = titrate({ ...nickel, sample: 50e-6, strength: 10, titrant: 12.4e-6 }, 5e-8);
    expect(read.ok && off(read.value.metal, 0.14556)).toBeLessThan(1e-4);
  });
  it('no sample and an impossible strength are refused', () => {
    expect(titrate({ ...nickel, sample: 0, titrant: 1e-6 }, 5e-8)).toMatchObject({ ok: false });
    expect(titrate({ ...nickel, titrant: 500e-6 }, 5e-8)).toMatchObject({
      ok: false,
      problems: [{ code: 'too-strong' }],
    });
  });
});

describe('dummying', () => {
  it('takes longer the further down, and nothing when already clean', () => {
    const copper = {
      concentration: 0.05,
      target: 0.005,
      molarMass: 63.546e-3,
      electrons: 2,
      efficiency: 0.05,
    };
    const first = dummy(copper, 1e-2, 0.5);
    expect(dummy({ ...copper, target: 0.0025 }, 1e-2, 0.5).time).toBeGreaterThan(first.time);
    expect(dummy({ ...copper, target: 0.1 }, 1e-2, 0.5).charge).toBe(0);
  });
});
