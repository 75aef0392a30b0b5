import { describe, expect, it } from 'vitest';
import { deposit } from './deposit.js';

const run = async (options: Record<string, string>) => deposit.run([], options);
const json = async (options: Record<string, string>) => {
  const result = await run(options);
  if (result.status !== 'done') throw new Error(JSON.stringify(result));
  return result.json as Record<string, number>;
};
const problems = async (options: Record<string, string>) => {
  const result = await run(options);
  return result.status === 'refused' ? result.problems : [];
};
const nickel = { metal: 'Ni', currentDensity: '4 A/dm2' };

describe('deposit', () => {
  it('prints every key of the contract, in SI', async () => {
    const got = await json({ ...nickel, thickness: '10 um', efficiency: '0.955' });
    for (const key of 'thickness time chargePerArea massPerArea massPerCharge molarMass density valence'.split(
      ' ',
    ))
      expect(got[key], key).toBeGreaterThan(0);
    // 10 um at 4 A/dm2 and 95.5 %: 12.78 min in the nickel handbook's table (density 8.907 there).
    expect(got.time! / 60).toBeCloseTo(12.78, 1);
    expect(got.massPerCharge! * 3.6e6).toBeCloseTo(1.09497, 4);
  });

  it('gives the thickness back when asked with the time it gave', async () => {
    const there = await json({ ...nickel, thickness: '7 um', efficiency: '90 %' });
    const back = await json({ ...nickel, time: `${there.time} s`, efficiency: '0.9' });
    expect(back.thickness).toBeCloseTo(7e-6, 15);
    expect(back.chargePerArea).toBeCloseTo(there.chargePerArea!, 6);
  });

  it('takes a metal by name, and its usual valence', async () => {
    const got = await json({ metal: 'Copper', currentDensity: '1 A/dm2', time: '1 min' });
    expect(got.valence).toBe(2);
    expect(got.thickness! * 1e6).toBeCloseTo(0.2205, 4);
  });

  it.each([
    [{ ...nickel, metal: 'nickle', time: '1 min' }, 'metal-unknown', 'nickel'],
    [{ ...nickel, time: '20' }, 'unit-missing', 'min'],
    [{ ...nickel, time: '1 min', thickness: '1 um' }, 'options-conflict', '--time'],
    [{ ...nickel }, 'option-missing', '--thickness'],
    [{ ...nickel, time: '1 min', efficiency: '95.5' }, 'efficiency-out-of-range', '95.5 %'],
    [{ ...nickel, time: '1 min', efficiency: '0' }, 'efficiency-out-of-range', undefined],
    [{ ...nickel, time: '1 min', valence: '3' }, 'valence-unknown', '2'],
    [{ ...nickel, currentDensity: '-4 A/dm2', time: '1 min' }, 'not-positive', undefined],
    [{ time: '1 min', currentDensity: '1 A/dm2' }, 'option-missing', 'Ni'],
  ])('refuses %j', async (options, code, hint) => {
    const [problem, ...more] = await problems(options as Record<string, string>);
    expect(more).toEqual([]);
    expect(problem!.code).toBe(code);
    if (hint) expect(problem!.hint).toContain(hint);
  });

  it('collects every problem at once', async () => {
    const codes = (await problems({ metal: 'Xx', currentDensity: '4', efficiency: '7' })).map((p) => p.code);
    expect(codes).toEqual(['metal-unknown', 'unit-missing', 'efficiency-out-of-range', 'option-missing']);
  });
});
