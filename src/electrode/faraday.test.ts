import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../test/library.js';
import { chosen, findMetal, formulaMass } from '../library/index.js';
import {
  gasAmount,
  gasVolume,
  growthPerCharge,
  massPerCharge,
  thicknessAfter,
  timeToBuild,
} from './index.js';

const library = testLibrary();
const metal = (symbol: string, valence: number) => {
  const found = findMetal(library, symbol);
  if (!found.ok) throw new Error(symbol);
  return { molarMass: formulaMass(library, symbol), density: chosen(found.value.density).value, valence };
};

describe("Faraday's law", () => {
  // Trade table: tutorial table no. 166 of a component distributor (2013), g/Ah; recomputed columns to 1e-4.
  it.each([
    ['Ni', 2, 1.09497, 0.20487],
    ['Cu', 2, 1.18549, 0.22052],
    ['Cu', 1, 2.37099, 0.44103],
    ['Ag', 1, 4.02471, 0.63945],
    ['Au', 1, 7.34909, 0.63464],
    ['Sn', 2, 2.21462, 0.50652],
    ['Zn', 2, 1.21971, 0.28471],
    ['Cr', 6, 0.32334, 0.07537],
    ['Cr', 3, 0.64668, 0.15074],
    ['Fe', 2, 1.04183, 0.22052],
  ])('has the electrochemical equivalent of %s(%i)', (symbol, valence, gramsPerAh, micrometres) => {
    const m = metal(symbol, valence);
    expect(Math.abs((massPerCharge(m) * 3.6e6) / gramsPerAh - 1)).toBeLessThan(1e-4);
    expect(Math.abs((growthPerCharge(m) * 6000e6) / micrometres - 1)).toBeLessThan(1e-4);
  });

  it('has a record for every metal it promises', () => {
    for (const symbol of 'Ni Cu Ag Au Sn Zn Co Rh Pd Cr Fe'.split(' '))
      for (const { valence } of library.metals.get(symbol)!.valences)
        expect(massPerCharge(metal(symbol, valence))).toBeGreaterThan(0);
  });

  it('builds back the thickness whose time it gave', () => {
    const m = metal('Ni', 2);
    const time = timeToBuild(m, 312, 7e-6, 0.9);
    expect(thicknessAfter(m, 312, time, 0.9)).toBeCloseTo(7e-6, 18);
  });

  it('measures gas by the ideal gas law', () => {
    // Closed form: 3600 C, R T / p; 0.456419 L hydrogen, half as much oxygen, 1.3228 g chlorine an ampere-hour.
    expect(gasVolume(gasAmount('hydrogen', 3600), 298.15) * 1e3).toBeCloseTo(0.456419, 6);
    expect(gasVolume(gasAmount('oxygen', 3600), 298.15) * 1e3).toBeCloseTo(0.228209, 6);
    expect(gasAmount('chlorine', 3600) * formulaMass(library, 'Cl2')).toBeCloseTo(1.3228e-3, 6);
  });
});
