import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../test/library.js';
import { anodeParameters, bathState, cathodeParameters, checkBathChoice } from './index.js';

const library = testLibrary();
const bath = library.baths.get('watts-nickel')!;

describe('what a person says of a bath', () => {
  it.each([
    [{ temperature: 400 }, 'bath.temperature', '40.0 C to 60.0 C'],
    [{ pH: 20 }, 'bath.pH', '0 and 14'],
    [{ metal: 0 }, 'bath.metal', '81.8 g/L'],
    [{ metal: -3 }, 'bath.metal', 'g/L'],
    [{ metal: Number.NaN }, 'bath.metal', 'g/L'],
    [{ agitation: 'shaken' }, 'bath.agitation', 'stirred'],
  ] as const)('is refused when it cannot be: %j', (choice, path, hint) => {
    const got = checkBathChoice(library, bath, choice);
    expect(got.ok).toBe(false);
    if (got.ok) return;
    expect(got.problems[0]!.path).toBe(path);
    expect(got.problems[0]!.hint).toContain(hint);
  });

  it('is warned of when outside the window, and let pass inside', () => {
    const cold = checkBathChoice(library, bath, { temperature: 293.15, pH: 2 });
    expect(cold.ok && cold.warnings.map((w) => w.path)).toEqual(['bath.temperature', 'bath.pH']);
    const usual = checkBathChoice(library, bath, {});
    expect(usual.ok && usual.warnings).toEqual([]);
  });
});

describe('parameters of a bath', () => {
  it('have one name each, a record that exists, and an interval about their value', () => {
    for (const b of library.baths.values()) {
      if (b.refused) continue;
      for (const agitation of library.agitation.keys()) {
        const state = bathState(library, b, { agitation });
        const list = [...cathodeParameters(library, b, state), ...anodeParameters(library, b, b.metal)];
        expect(new Set(list.map((p) => p.name)).size).toBe(list.length);
        for (const p of list) {
          expect(library.records.has(p.record), p.record).toBe(true);
          expect(p.low, p.name).toBeLessThanOrEqual(p.nominal);
          expect(p.high, p.name).toBeGreaterThanOrEqual(p.nominal);
          if (p.distribution === 'lognormal') expect(p.low, p.name).toBeGreaterThan(0);
        }
      }
    }
  });

  it('take an anode the bath has no dissolution for as inert', () => {
    const names = (metal: string) => anodeParameters(library, bath, metal).map((p) => p.name);
    expect(names('Ni')).toContain('anode.exchange');
    expect(names('inert')).not.toContain('anode.exchange');
    expect(
      anodeParameters(library, bath, 'inert').find((p) => p.name === 'anode.oxygen.exchange')!.record,
    ).toBe('oxygen.inert.i0');
  });
});
