import { describe, expect, it } from 'vitest';
import { FARADAY, fromSI, GAS, parseQuantity, printQuantity, thermalVoltage, unitsOf } from './index.js';

describe('quantities', () => {
  it.each([
    ['8 um', 'length', 8e-6],
    ['2 A/dm2', 'currentDensity', 200],
    ['0,5 A/dm2', 'currentDensity', 50],
    ['25 C', 'temperature', 298.15],
    ['77 F', 'temperature', 298.15],
    ['5 %', 'fraction', 0.05],
    ['1 oz/gal(US)', 'massConcentration', 7.489151707],
    ['58.6934 g/mol', 'molarMass', 0.0586934],
    ['1 Ah/dm2', 'chargeDensity', 360000],
    ['1.095 g/Ah', 'massPerCharge', 3.0416667e-7],
    ['0.205 um/min per A/dm2', 'growthPerCharge', 3.4166667e-11],
    ['1.7241 uohm cm', 'resistivity', 1.7241e-8],
    ['0.393 %/K', 'perKelvin', 0.00393],
    ['349.65 S cm2/mol', 'molarConductivity', 0.034965],
  ] as const)('reads %s as SI', (text, dimension, si) => {
    const read = parseQuantity(text, dimension);
    expect(read.ok && Math.abs(read.value / si - 1) < 1e-7).toBe(true);
  });

  it.each([
    ['8', 'length', 'unit-missing'],
    [8, 'length', 'unit-missing'],
    ['8 V', 'length', 'unit-does-not-fit'],
    ['eight um', 'length', 'not-a-quantity'],
    ['8 toString', 'length', 'unit-does-not-fit'],
  ] as const)('refuses %s with what would fit', (text, dimension, code) => {
    const read = parseQuantity(text, dimension, 'thickness');
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.problems[0]).toMatchObject({ code, path: 'thickness' });
    for (const unit of unitsOf(dimension)) expect(read.problems[0]!.hint).toContain(unit);
  });

  it('prints what it reads', () => {
    expect(printQuantity(8e-6, 'um', 'length')).toBe('8.00 um');
    expect(fromSI(100, 'A/ft2', 'currentDensity')).toBeCloseTo(9.2903, 4);
  });

  it('has the CODATA values of the exact constants', () => {
    expect(FARADAY).toBeCloseTo(96485.33212, 5);
    expect(GAS).toBeCloseTo(8.314462618, 9);
    expect(thermalVoltage(298.15)).toBeCloseTo(0.0256926, 7);
  });
});
