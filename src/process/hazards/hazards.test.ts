import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import { compose } from '../prepare/index.js';
import { concentrationAfter, freshAir, gases, hazardSheet, mustNotMeet, timeToReach } from './index.js';

const practice = testPractice();
const shed = { volume: 30, airChanges: 0 };
const HOUR = 3600;

describe('gas in a room', () => {
  const aired = { volume: 30, airChanges: 2 / HOUR };

  it('rises to source over air flow and no further', () => {
    expect(concentrationAfter(aired, 1e-6, 1e9)).toBeCloseTo(1e-6 / (30 * (2 / HOUR)), 12);
    expect(timeToReach(aired, 1e-6, 0.01)).toBe(Number.POSITIVE_INFINITY);
  });

  it('agrees with a step-by-step sum of its balance', () => {
    let c = 0;
    const dt = 1;
    for (let t = 0; t < HOUR; t += dt) c += dt * (1e-5 / 30 - aired.airChanges * c);
    expect(Math.abs(concentrationAfter(aired, 1e-5, HOUR) / c - 1)).toBeLessThan(1e-3);
  });

  it('reaches a share just when the concentration says so', () => {
    for (const room of [shed, aired]) {
      const t = timeToReach(room, 1e-4, 1e-3);
      expect(concentrationAfter(room, 1e-4, t)).toBeCloseTo(1e-3, 12);
    }
  });

  it('goes over into the closed room as airing goes to nothing', () => {
    const almost = { volume: 30, airChanges: 1e-12 };
    expect(concentrationAfter(almost, 1e-5, HOUR)).toBeCloseTo(concentrationAfter(shed, 1e-5, HOUR), 10);
  });
});

describe('gases of a job', () => {
  const run = (patch: object) =>
    gases(practice, {
      current: 2,
      cathodeEfficiency: 0.95,
      anodeEfficiency: 1,
      chloride: true,
      temperature: 298.15,
      room: shed,
      duration: HOUR,
      ...patch,
    });

  it('2 A of Watts nickel makes 45.6 mL of hydrogen an hour, and 4.56 L/h of air hold it at 1 %', () => {
    const [hydrogen] = run({});
    expect(hydrogen!.volume * 1e6).toBeCloseTo(45.6, 1);
    expect(hydrogen!.limit!.freshAir * HOUR * 1e3).toBeCloseTo(4.56, 2);
    expect(hydrogen!.verdict).toBe('fine');
  });

  it('a closed 30 m3 shed reaches 0.5 ppm of chlorine after 0.033 Ah and 10 ppm after 0.7 Ah at an inert anode', () => {
    const chlorine = run({ current: 1, anodeEfficiency: 0, temperature: 293.15 })[1]!;
    expect(chlorine.gas).toBe('chlorine');
    expect(chlorine.limit!.reachedAfter / HOUR).toBeCloseTo(0.033, 3);
    expect(chlorine.danger!.reachedAfter / HOUR).toBeCloseTo(0.66, 1);
    expect(chlorine.verdict).toBe('stop');
  });

  it('makes oxygen, which is fine, where there is no chloride', () => {
    const [, anode] = run({ chloride: false, anodeEfficiency: 0 });
    expect(anode!.gas).toBe('oxygen');
    expect(anode!.verdict).toBe('fine');
    expect(anode!.limit).toBeUndefined();
  });

  it('warns of hydrogen in a closed cabinet', () => {
    const [hydrogen] = run({ current: 10, cathodeEfficiency: 0, room: { volume: 0.1, airChanges: 0 } });
    expect(hydrogen!.verdict).toBe('air the room');
    expect(freshAir(hydrogen!.rate, 0.01) * HOUR).toBeCloseTo(0.456, 2);
  });
});

describe('what stands on the bench', () => {
  const steps = (s: string, d: string) =>
    compose(practice, practice.substrates.get(s)!, practice.deposits.get(d)!).steps;

  it('covers every chemistry that any sequence brings', () => {
    const quiet = ['water', 'deionised', 'long', 'detergent', 'chloride', 'sulfite', 'ammonia'];
    for (const step of practice.steps.values())
      for (const word of step.bath.contains)
        if (!quiet.includes(word)) expect(practice.substances.has(word), word).toBe(true);
  });

  it('tells what must never meet on this job', () => {
    const sheet = hazardSheet(practice, steps('mild-steel', 'nickel'));
    expect(sheet.substances.map((s) => s.id)).toEqual(
      expect.arrayContaining(['hydrochloric', 'sulfuric', 'nickel']),
    );
    expect(sheet.neverTogether).toContainEqual(['Hydrochloric acid', 'bleach']);
    expect(sheet.heat.length).toBeGreaterThan(0);
    expect(sheet.always[0]).toMatch(/Local codes/);
  });

  it('knows the vinegar in the acetate bath', () => {
    expect(hazardSheet(practice, steps('brass', 'nickel-acetate')).substances.map((s) => s.id)).toContain(
      'acetic',
    );
  });

  it.each([
    ['hydrochloric', 'bleach', true],
    ['bleach', 'hydrochloric', true],
    ['sulfuric', 'cyanide', true],
    ['gold', 'sulfuric', true],
    ['nickel', 'copper', false],
  ])('%s and %s: %s', (a, b, never) => {
    expect(mustNotMeet(practice, a, b)).toBe(never);
  });
});
