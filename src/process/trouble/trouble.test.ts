import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import { factValue } from '../records/index.js';
import { AMOUNT_NAMES, diagnose, type Facts, symptomsOf } from './index.js';

const library = testLibrary();
const practice = testPractice();
const ask = (symptom: string, facts: Facts = {}) => {
  const found = diagnose(library, practice, symptom, facts);
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
};

describe('records of trouble', () => {
  it('cover at least the forty-two rows of the bench table', () => {
    const rows = [...practice.symptoms.values()].flatMap((s) => s.causes);
    expect(rows.length).toBeGreaterThanOrEqual(42);
    for (const metal of ['nickel', 'copper', 'silver', 'tin', 'zinc', 'gold'])
      expect(symptomsOf(practice, metal).length, metal).toBeGreaterThanOrEqual(5);
  });

  it('name only amounts that can be computed, and every amount is named somewhere', () => {
    const named = new Set<string>();
    for (const s of practice.symptoms.values())
      for (const { remedy } of s.causes)
        for (const [, name] of remedy.matchAll(/\{(\w+)\|/g)) named.add(name!);
    expect([...named].sort()).toEqual([...AMOUNT_NAMES].sort());
  });

  it('no remedy is left with a hole, whether the job knows nothing or everything', () => {
    const all = Object.fromEntries([...practice.facts.keys()].map((id) => [id, 0.01]));
    for (const id of practice.symptoms.keys())
      for (const facts of [{}, all])
        for (const cause of ask(id, facts).causes) {
          expect(cause.remedy, id).not.toMatch(/[{}|]|NaN|undefined/);
          expect(cause.remedy.length).toBeGreaterThan(10);
        }
  });

  it("each cause's check shows more often when it is the cause", () => {
    for (const s of practice.symptoms.values())
      for (const { id, check } of s.causes)
        expect(check.told - check.else, `${s.id} ${id}`).toBeGreaterThan(0.2);
  });

  it('each fact is asked by some cause or fills some amount', () => {
    const asked = new Set(
      [...practice.symptoms.values()].flatMap((s) => s.causes.flatMap((c) => c.signs.map((x) => x.fact))),
    );
    const filling = ['current', 'area', 'volume'];
    for (const id of practice.facts.keys()) expect(asked.has(id) || filling.includes(id), id).toBe(true);
  });

  it('reads facts as text', () => {
    expect(factValue(practice.facts.get('ph')!, '4.5')).toBe(4.5);
    expect(factValue(practice.facts.get('stirred')!, 'no')).toBe(0);
    expect(factValue(practice.facts.get('stirred')!, 'maybe')).toBeUndefined();
    expect(factValue(practice.facts.get('thickness')!, '8 um')).toBeCloseTo(8e-6, 12);
    expect(factValue(practice.facts.get('thickness')!, '8')).toBeUndefined();
    expect(factValue(practice.facts.get('rinses')!, '2')).toBe(2);
  });
});

describe('ranked causes', () => {
  it('keep a tenth for what nobody named', () => {
    for (const id of practice.symptoms.keys())
      expect(ask(id).causes.reduce((sum, c) => sum + c.probability, 0)).toBeCloseTo(0.9, 12);
  });

  it.each([
    ['burnt', { currentFraction: 0.9, metalConcentration: 60, stirred: 1 }, 'overcurrent'],
    ['burnt', { currentFraction: 0.2, metalConcentration: 4, stirred: 1 }, 'low-metal'],
    ['burnt', { currentFraction: 0.3, metalConcentration: 60, stirred: 0 }, 'still'],
    ['peels-to-base', { waterBreak: 0 }, 'grease'],
    ['peels-to-base', { waterBreak: 1, strike: 0, delay: 5 }, 'immersion'],
    ['peels-between', { currentGap: 60, driedBetween: 0 }, 'current-break'],
    ['peels-between', { currentGap: 0, driedBetween: 1 }, 'dried'],
    ['volts-up', { contactDrop: 0.2, anodeDensity: 50 }, 'contact'],
    ['volts-up', { contactDrop: 0.005, anodeDensity: 400 }, 'anode-passive'],
    ['black-all-over', { metalConcentration: 20, ph: 3 }, 'too-acid'],
    ['dark-recesses', { copperInBath: 1, evenness: 0.6 }, 'copper'],
    ['dark-recesses', { copperInBath: 0, evenness: 0.1 }, 'too-little'],
    ['rust-specks', { thickness: 3e-6, steelBase: 1 }, 'thin'],
    ['thin', { efficiency: 0.4, ph: 3 }, 'low-efficiency'],
  ] as [string, Facts, string][])('%s with %o: %s', (symptom, facts, expected) => {
    const { causes } = ask(symptom, facts);
    expect(causes[0]!.id).toBe(expected);
    expect(causes[0]!.because.length).toBeGreaterThan(0);
  });

  it('follow the order of the tables where the job knows nothing', () => {
    for (const s of practice.symptoms.values()) {
      const heaviest = [...s.causes].sort((a, b) => b.weight - a.weight)[0]!.id;
      expect(ask(s.id).causes[0]!.id, s.id).toBe(heaviest);
    }
  });

  it('name amounts of this job', () => {
    const { causes } = ask('burnt', { current: 2, currentFraction: 0.8 });
    expect(causes.find((c) => c.id === 'overcurrent')!.remedy).toContain('1.00 A'); // 2 A x 0.4 / 0.8
    const volts = ask('volts-up', { current: 3 }).causes.find((c) => c.id === 'anode-passive')!;
    expect(volts.remedy).toContain('200 cm2'); // 3 A at 1.5 A/dm2
    const organics = ask('cracks', { volume: 2e-3 }).causes.find((c) => c.id === 'organics')!;
    expect(organics.remedy).toContain('6.00 g');
  });

  it('separate the two likeliest causes by one check', () => {
    const { separate } = ask('volts-up');
    expect(separate!.bits).toBeGreaterThan(0.3);
    expect([
      'Scrub the anode: the volts come back down.',
      'Millivolts across each clip: more than 50 mV is bad.',
    ]).toContain(separate!.how);
    expect(ask('green-haze').separate).toBeUndefined();
  });

  it('say what they would like to know', () => {
    expect(ask('burnt').unknown.map((f) => f.id)).toContain('currentFraction');
    expect(ask('burnt', { currentFraction: 0.5 }).unknown.map((f) => f.id)).not.toContain('currentFraction');
  });

  it('offer the nearest symptom', () => {
    const found = diagnose(library, practice, 'burned', {});
    expect(found.ok ? '' : found.problems[0]!.hint).toContain('burnt');
  });
});
