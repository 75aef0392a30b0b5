import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import { toSI } from '../units/index.js';
import { contentsOf, findSubstance, makeUp } from './makeup.js';

const records = aqueousRecords();
const substance = (id: string) => {
  const found = findSubstance(id, records, '');
  if (!found.ok) throw new Error(id);
  return found.value;
};
const off = (value: number, expected: number): number => Math.abs(value / expected - 1);

describe('make-up', () => {
  // Formula masses of IUPAC weights, computed apart from this code.
  it.each([
    ['NiSO4.6H2O', 0.2233],
    ['NiSO4.7H2O', 0.20898],
    ['NiCl2.6H2O', 0.24693],
    ['NiCO3', 0.49446],
    ['Ni(NH2SO3)2.4H2O', 0.18175],
    ['Ni(C2H3O2)2.4H2O', 0.23587],
  ])('%s holds %d of nickel', (id, share) => {
    expect(off(58.6934e-3 / substance(id).molarMass, share)).toBeLessThan(1e-4);
  });

  it('300 g/L and 60 g/L of the Watts recipe hold 81.81 g/L of nickel; back and forth agree', () => {
    const made = makeUp(
      [
        { substance: 'NiSO4.6H2O', concentration: 300 },
        { substance: 'NiCl2.6H2O', concentration: 60 },
        { substance: 'boric acid', concentration: 40 },
      ],
      0.5e-3,
      1e-5,
      298.15,
      records,
    );
    if (!made.ok) throw new Error(JSON.stringify(made.problems));
    expect(off(made.value.contents.metal.Ni!, 81.8056)).toBeLessThan(2e-4);
    expect(made.value.weighings[0]!.weigh).toBeCloseTo(0.15, 6);
    expect(made.value.steps.at(-1)).toContain('fill up to');
    const back = contentsOf(
      made.value.weighings.map((w) => ({ substance: w.substance, mass: w.weigh })),
      0.5e-3,
      298.15,
      records,
    );
    expect(back.ok && off(back.value.concentration.Ni!, 1393.78)).toBeLessThan(2e-4);
  });

  it('another hydrate and a purity weigh more for the same nickel', () => {
    const made = makeUp(
      [{ substance: 'NiSO4.6H2O', concentration: 300, have: 'NiSO4.7H2O', purity: 0.98 }],
      1e-3,
      1e-4,
      298.15,
      records,
    );
    expect(made.ok && off(made.value.weighings[0]!.exact, (0.3 * 280.863) / 262.847 / 0.98)).toBeLessThan(
      1e-4,
    );
  });

  it('an ounce per US gallon is 7.489 g/L, per imperial gallon 6.236 g/L', () => {
    expect(toSI(1, 'oz/gal(US)', 'massConcentration')).toBeCloseTo(7.4892, 3);
    expect(toSI(1, 'oz/gal(imp)', 'massConcentration')).toBeCloseTo(6.236, 3);
  });

  it('a scale too coarse, a salt that stays solid, and a refused substance are said', () => {
    const coarse = makeUp([{ substance: 'NaCl', concentration: 1 }], 1e-4, 1e-3, 298.15, records);
    expect(coarse.ok && coarse.warnings.map((w) => w.code)).toContain('scale-too-coarse');
    const tooMuch = makeUp([{ substance: 'H3BO3', concentration: 90 }], 1e-3, 1e-4, 293.15, records);
    expect(tooMuch.ok && tooMuch.warnings.map((w) => w.code)).toContain('will-not-dissolve');
    for (const name of ['potassium cyanide', 'CrO3', 'hydrofluoric acid', 'KCN'])
      expect(findSubstance(name, records, '')).toMatchObject({
        ok: false,
        problems: [{ code: 'substance-refused' }],
      });
    expect(findSubstance('NiSO', records, '')).toMatchObject({
      ok: false,
      problems: [{ code: 'substance-unknown' }],
    });
  });

  it('molality and molarity differ by the water there is: 1 mol/L NaCl is 1.0227 mol/kg at 25 C (density 1.0362, handbook, from memory)', () => {
    const c = contentsOf([{ substance: substance('NaCl'), mass: 58.443e-3 }], 1e-3, 298.15, records);
    expect(c.ok && off(c.value.molality.Na!, 1.0227)).toBeLessThan(1e-3);
  });

  it('a kilogram of salt in a glass, no volume, and a negative weight are refused with the slip', () => {
    const salt = substance('NaCl');
    expect(contentsOf([{ substance: salt, mass: 1 }], 2e-4, 298.15, records)).toMatchObject({
      ok: false,
      problems: [{ code: 'impossible-amount' }],
    });
    expect(contentsOf([{ substance: salt, mass: 1 }], 0, 298.15, records)).toMatchObject({
      ok: false,
      problems: [{ code: 'volume' }, {}],
    });
    expect(contentsOf([{ substance: salt, mass: -0.01 }], 1e-3, 298.15, records)).toMatchObject({
      ok: false,
      problems: [{ code: 'negative-amount' }],
    });
  });
});
