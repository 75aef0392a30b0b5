import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import { readComposition } from './composition.js';

const records = aqueousRecords();
const refusal = (input: unknown) => {
  const read = readComposition(input, records);
  return read.ok ? undefined : read.problems.map((p) => ({ code: p.code, path: p.path, hint: p.hint ?? '' }));
};
const with_ = (totals: unknown, more: object = {}) => ({
  temperature: 298.15,
  totals,
  solids: 'none',
  ...more,
});

describe('a composition', () => {
  it('is read, with H dropped where it agrees with the charges', () => {
    const read = readComposition(with_({ H: 0.83, acetate: 0.83 }, { solids: 'allowed', pH: 4 }), records);
    expect(read).toMatchObject({
      ok: true,
      value: { temperature: 298.15, totals: { acetate: 0.83 }, solids: true, pH: 4 },
    });
    expect(readComposition(with_({ H: 1.5, borate: 0.5 }), records).ok).toBe(true);
  });

  it.each([
    ['a kilogram of salt in a glass', with_({ Na: 85, Cl: 85 }), 'impossible-amount', 'totals.Cl', 'g/L'],
    ['grams for moles', with_({ Ni: 67, SO4: 67 }), 'impossible-amount', 'totals.SO4', 'mmol/kg'],
    ['a negative amount', with_({ Ni: -0.1, SO4: 0.1 }), 'negative-amount', 'totals.Ni', '0.1'],
    [
      'protons without their anion',
      with_({ H: 1, Na: 0.5, Cl: 0.5 }),
      'charge-cannot-balance',
      'totals.H',
      'anion',
    ],
    [
      'degrees Celsius',
      { temperature: 25, totals: { Na: 1, Cl: 1 } },
      'temperature-range',
      'temperature',
      '298.15',
    ],
    [
      'a species for a component',
      with_({ 'Ni+2': 0.1, SO4: 0.1 }),
      'unknown-component',
      'totals.Ni+2',
      'Did you mean Ni?',
    ],
    ['a word for a number', with_({ Ni: '0.1' }), 'not-a-number', 'totals.Ni', 'numbers'],
    ['a strip read as pH 140', with_({ Na: 1, Cl: 1 }, { pH: 140 }), 'pH-range', 'pH', 'Leave it out'],
    ['no totals', { temperature: 298.15 }, 'totals-missing', 'totals', 'mol per kg'],
    ['a mistyped key', with_({ Na: 1, Cl: 1 }, { solid: 'none' }), 'unknown-key', 'solid', 'solids'],
  ] as [string, unknown, string, string, string][])(
    'with %s is refused with the likely slip',
    (_name, input, code, path, hint) => {
      const problems = refusal(input);
      const found = problems?.find((p) => p.code === code);
      expect(found?.path).toBe(path);
      expect(found?.hint).toContain(hint);
    },
  );

  it('never throws, whatever it is handed', () => {
    fc.assert(
      fc.property(fc.anything(), (input) => void readComposition(input, records)),
      { numRuns: 300 },
    );
  });
});
