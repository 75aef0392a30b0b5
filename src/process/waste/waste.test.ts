import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import { plateable } from '../finish/index.js';
import {
  dilutionOf,
  dragOut,
  heatingPower,
  metalBalance,
  metalByTitration,
  metalShare,
  rinseRatio,
  type WasteRequest,
  wastePlan,
} from './index.js';

const library = testLibrary();
const practice = testPractice();
const plan = (patch: Partial<WasteRequest>) => {
  const found = wastePlan(library, practice, {
    metal: 'nickel',
    volume: 1e-3,
    concentration: 1,
    acid: 0,
    ph: 10,
    complexant: false,
    ...patch,
  });
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
};

describe('taking a metal out', () => {
  it('doses alkali by the metal and by the free acid', () => {
    const [caustic, lime, soda] = plan({}).alkali; // one gram of nickel
    expect(caustic!.mass * 1e3).toBeCloseTo(1.36291, 4);
    expect(lime!.mass * 1e3).toBeCloseTo(1.26237, 4);
    expect(soda!.mass * 1e3).toBeCloseTo(1.80579, 4);
    expect(plan({}).sludge * 1e3).toBeCloseTo(1.57952, 4);
    // One litre of 5 % vinegar (830 mol/m3) takes 33.2 g of caustic soda by itself.
    const acid = plan({ concentration: 0, acid: 830 }).alkali[0]!.mass;
    expect(acid * 1e3).toBeCloseTo(0.83 * 39.997, 2);
  });

  it('says what stays dissolved, as a band of two sources, and never more than there was', () => {
    const at9 = plan({ ph: 9, concentration: 20 }).residual;
    expect(at9.low * 1e3).toBeCloseTo(0.315, 3);
    expect(at9.high * 1e3).toBeCloseTo(1.14, 2);
    const sour = plan({ ph: 3, concentration: 20 }).residual;
    expect(sour).toEqual({ low: 20, high: 20 });
  });

  it('shows that baking soda and dilution do not do it', () => {
    const spent = plan({ concentration: 20 });
    expect(spent.bakingSoda.low).toBeGreaterThan(spent.limit!);
    expect(spent.dilution).toBeCloseTo(20000 / 3.98, 0);
    expect(spent.residual.high).toBeLessThan(spent.limit!);
  });

  it.each([
    [{ ph: 8 }, /too low/],
    [{ ph: 12 }, /above the window/],
    [{ complexant: true }, /hand it in/],
    [{ metal: 'zinc', ph: 11 }, /goes back into solution/],
    [{}, /hazardous-waste service/],
  ])('warns: %o', (patch, words) => {
    expect(plan(patch).warnings.join(' ')).toMatch(words);
  });

  it.each(['silver', 'gold', 'chromium', 'lead'])('hands %s in instead', (metal) => {
    const found = wastePlan(library, practice, {
      metal,
      volume: 1e-3,
      concentration: 1,
      acid: 0,
      ph: 10,
      complexant: false,
    });
    expect(found.ok ? '' : found.problems[0]!.code).toBe('hand-in');
  });

  it('refuses an unknown metal and impossible figures together', () => {
    const found = wastePlan(library, practice, {
      metal: 'nikel',
      volume: 0,
      concentration: -1,
      acid: 0,
      ph: 20,
      complexant: false,
    });
    expect(found.ok ? [] : found.problems.map((p) => p.path)).toEqual([
      'metal',
      'volume',
      'concentration',
      'ph',
    ]);
  });
});

describe('rinses and keeping', () => {
  it('the ratio found gives the dilution back, and more tanks want less water', () => {
    let before = Number.POSITIVE_INFINITY;
    for (const tanks of [1, 2, 3, 4]) {
      const r = rinseRatio(1000, tanks);
      expect(dilutionOf(r, tanks)).toBeCloseTo(1000, 6);
      expect(r).toBeLessThan(before);
      before = r;
    }
    expect(rinseRatio(1, 2)).toBeNaN();
  });

  it('drag-out of ten square decimetres from a Watts bath is 21.5 mL and 1.76 g of nickel', () => {
    const { volume, mass } = dragOut(0.1, 81.8);
    expect(volume * 1e6).toBeCloseTo(21.53, 2);
    expect(mass * 1e3).toBeCloseTo(1.761, 3);
  });

  it('a thousand ampere-hours at 95 % leave 54.75 g more nickel in the bath', () => {
    const nickel = plateable(library, 'nickel');
    const balance = nickel.ok ? metalBalance(nickel.value, 3.6e6, 1, 0.95) : undefined;
    expect(balance!.gain * 1e3).toBeCloseTo(54.75, 2);
    expect(balance!.in - balance!.out).toBeCloseTo(balance!.gain, 15);
  });

  it('heats and titrates', () => {
    expect(heatingPower(10, 35, 3600)).toBeCloseTo(406.78, 2);
    expect(metalByTitration(26e-6, 100, 2e-6, 58.6934e-3)).toBeCloseTo(76.3014, 4);
    expect(metalShare(library, 'Ni', 'NiSO4.6H2O')).toBeCloseTo(0.2233, 4);
  });
});
