import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import { FARADAY } from '../units/index.js';
import { liquidColour } from './colour.js';
import { type BathFrame, estimateMetal, type Observation } from './evidence.js';

const records = aqueousRecords();
const frame: BathFrame = {
  metal: 'Ni',
  electrons: 2,
  others: { acetate: 830, Na: 120, Cl: 120 },
  volume: 0.25e-3,
  temperature: 293.15,
  began: 0,
};
const weights = (gained: number): Observation => ({
  kind: 'weights',
  anodeLoss: gained * frame.volume,
  cathodeGain: 0,
  spread: 1e-5,
});
const photo = (metal: number): Observation => {
  const { lab } = liquidColour(records.spectra!, { Ni: metal / 58.6934e-3 }, 0.06);
  return { kind: 'photo', l: lab.l, a: lab.a, b: lab.b, path: 0.06 };
};
const charge = (metal: number): Observation => ({
  kind: 'charge',
  charge: (metal * frame.volume * 2 * FARADAY) / 58.6934e-3,
});
const estimate = (...seen: Observation[]) => {
  const read = estimateMetal(frame, seen, records);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
};

describe('how strong is it now', () => {
  it('weights tell more than a photo, a photo more than ampere-hours, and together they agree', () => {
    const { metal, pieces } = estimate(weights(4), photo(4.3), charge(6));
    expect(metal!.median).toBeGreaterThan(3.8);
    expect(metal!.median).toBeLessThan(4.2);
    const [w, p, c] = pieces;
    expect(w!.bits).toBeGreaterThan(p!.bits);
    expect(p!.bits).toBeGreaterThan(c!.bits);
    expect(metal!.high - metal!.low).toBeLessThan(p!.high - p!.low);
  });
  it('independent pieces narrow as one over the square root of their number (closed form)', () => {
    const one: Observation = { kind: 'titration', concentration: 10, spread: 1 };
    const width = (n: number): number => {
      const { metal } = estimate(...Array.from({ length: n }, () => one));
      return metal!.high - metal!.low;
    };
    expect(width(1) / width(4)).toBeGreaterThan(1.7);
    expect(width(1) / width(4)).toBeLessThan(2.4);
  });
  it('ampere-hours are an upper bound only', () => {
    const { pieces } = estimate(charge(6));
    expect(pieces[0]!.high).toBeLessThan(6.6);
    expect(pieces[0]!.low).toBeLessThan(0.1);
  });
  it('the strip of a vinegar bath tells by its buffer', () => {
    const { metal } = estimate({ kind: 'pH', pH: 4, spread: 0.25 });
    expect(metal!.low).toBeGreaterThan(1);
    expect(metal!.high).toBeLessThan(20);
  });
  it('a contradiction is named, not averaged away', () => {
    const { metal, contradictions } = estimate(weights(12), charge(3));
    expect(metal).toBeUndefined();
    expect(contradictions[0]!.between).toEqual(['weights', 'charge']);
    for (const p of estimate(weights(12), charge(0.1)).pieces) expect(p.bits).toBeGreaterThan(0);
    const wrongLight = estimate({ kind: 'photo', l: 40, a: 60, b: 30, path: 0.06 });
    expect(wrongLight.contradictions[0]!.between).toEqual(['photo', 'photo']);
  });
  it.each([
    ['anode-heavier', { kind: 'weights', anodeLoss: -1e-3, cathodeGain: 0, spread: 1e-5 }],
    ['cathode-lighter', { kind: 'weights', anodeLoss: 1e-3, cathodeGain: -1e-3, spread: 1e-5 }],
    ['pH-strip', { kind: 'pH', pH: 14, spread: 0.5 }],
    ['density', { kind: 'density', mass: 0.02, volume: 1e-4, massSpread: 1e-5, volumeSpread: 1e-6 }],
    ['charge', { kind: 'charge', charge: -10 }],
  ] as [string, Observation][])('%s is refused with the likely slip', (code, observation) => {
    expect(estimateMetal(frame, [observation], records)).toMatchObject({ ok: false, problems: [{ code }] });
  });
  it('nothing to go by, and no volume, are said', () => {
    expect(estimateMetal(frame, [], records)).toMatchObject({
      ok: false,
      problems: [{ code: 'no-evidence' }],
    });
    expect(estimateMetal({ ...frame, volume: 0 }, [charge(3)], records)).toMatchObject({
      ok: false,
      problems: [{ code: 'volume' }],
    });
  });
});
