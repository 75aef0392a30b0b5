import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import {
  type Density,
  densityByWeighing,
  type Evidence,
  entropy,
  expectedGain,
  gate,
  identify,
  massOf,
  normalCdf,
  rankMetals,
  waterDensity,
} from './index.js';

const practice = testPractice();
const table = practice.identification;
const ask = (evidence: Partial<Evidence>) => {
  const found = identify(table, { seen: {}, hollow: 'unknown', ...evidence });
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
};
const weigh = (airGrams: number, waterGrams: number, stepGrams = 0.01): Density => {
  const read = densityByWeighing({
    air: airGrams / 1000,
    water: waterGrams / 1000,
    step: stepGrams / 1000,
    temperature: 293.15,
  });
  if (!read.ok) throw new Error(read.problems[0]!.message);
  return read.value;
};
/** Readings of a solid part of known density, as the scale would show them. */
const weighed = (density: number, grams: number, step = 0.01) => {
  const round = (x: number) => Math.round(x / step) * step;
  return weigh(round(grams), round(grams - (grams / density) * waterDensity(293.15)), step);
};

describe('density by weighing', () => {
  it.each([
    [273.15, 999.84],
    [277.13, 999.975],
    [293.15, 998.207],
    [298.15, 997.047],
    [323.15, 988.03],
    [373.15, 958.36],
  ])('water at %d K is %d kg/m3 (CRC handbook table, from memory)', (t, expected) => {
    expect(waterDensity(t)).toBeCloseTo(expected, 1);
  });

  it('finds brass within its uncertainty, and is 2-3 % sure of a 5 g part on a 0.01 g scale', () => {
    const small = weighed(8500, 5);
    expect(Math.abs(small.value - 8500)).toBeLessThan(3 * small.sigma);
    expect((1.645 * small.sigma) / small.value).toBeGreaterThan(0.015);
    expect((1.645 * small.sigma) / small.value).toBeLessThan(0.03);
  });

  it('corrects for air: brass of 8400 kg/m3 as its definition of buoyancy has it', () => {
    // A body of 100 g true mass and 8400 kg/m3 in air reads 100 (1 - 1.204/8400) g, in water 100 (1 - 998.207/8400) g.
    const read = weigh(100 * (1 - 1.204 / 8400), 100 * (1 - waterDensity(293.15) / 8400), 0.0001);
    expect(read.value).toBeCloseTo(8400, 0);
  });

  it.each([
    [-1, 0, 'air'],
    [5, 5, 'water'],
    [5, 4.995, 'water'],
    [5, -1, 'water'],
  ])('refuses %d g in air and %d g in water', (air, water, path) => {
    const read = densityByWeighing({ air: air / 1000, water: water / 1000, step: 1e-5, temperature: 293.15 });
    expect(read.ok ? '' : read.problems[0]!.path).toBe(path);
  });
});

describe('what metal it is', () => {
  it('starts from the prior and sums to one', () => {
    const { ranked, doubt } = ask({});
    expect(ranked.reduce((sum, r) => sum + r.probability, 0)).toBeCloseTo(1, 12);
    expect(ranked[0]!.id).toBe('mild-steel');
    expect(doubt).toBeGreaterThan(2.5);
  });

  it.each([
    ['brass', { magnet: 'none', scratch: 'yellow', file: 'easy' }, 8500],
    ['zinc-die-casting', { magnet: 'none', scratch: 'bluish-white', 'acid-drop': 'fizzes' }, 6700],
    ['aluminium', { magnet: 'none', scratch: 'white', 'caustic-drop': 'fizzes' }, 2700],
    ['pewter', { magnet: 'none', scratch: 'white', file: 'soap' }, 7300],
    ['silver', { magnet: 'none', scratch: 'white', file: 'easy' }, 10400],
    ['stainless', { magnet: 'none', scratch: 'white', file: 'hard' }, 7950],
    ['nickel-silver', { magnet: 'none', scratch: 'white', 'nickel-swab': 'pink' }, 8700],
    ['hardened-steel', { magnet: 'strong', file: 'skates', spark: 'bushy' }, 7800],
    ['copper', { magnet: 'none', scratch: 'red' }, 8930],
    ['lead', { magnet: 'none', scratch: 'grey', file: 'soap' }, 11300],
  ])('says %s for what %s shows', (id, seen, density) => {
    const { ranked, contradictory } = ask({ seen, density: weighed(density, 50), hollow: 'solid' });
    expect(ranked[0]!.id).toBe(id);
    expect(ranked[0]!.probability).toBeGreaterThan(0.8);
    expect(contradictory).toBe(false);
  });

  it('does not take a hollow brass part for pewter', () => {
    // A hollow brass knob that weighs like 7.3 g/cm3.
    const seen = { magnet: 'none', scratch: 'yellow' };
    expect(ask({ seen, density: weighed(7300, 60), hollow: 'hollow' }).ranked[0]!.id).toBe('brass');
    expect(ask({ seen, density: weighed(7300, 60), hollow: 'unknown' }).ranked[0]!.id).toBe('brass');
  });

  it('lets a coarse scale say less than a fine one', () => {
    const seen = { magnet: 'none', scratch: 'white' };
    const fine = ask({ seen, density: weighed(6700, 30, 0.01), hollow: 'solid' });
    const coarse = ask({ seen, density: weighed(6700, 30, 1), hollow: 'solid' });
    expect(fine.doubt).toBeLessThan(coarse.doubt);
  });

  it('recommends the test that tells zinc from aluminium once only those are likely', () => {
    const { next } = ask({ seen: { magnet: 'none', scratch: 'bluish-white', file: 'easy' } });
    expect(['weighing', 'acid-drop', 'copper-sulfate-drop']).toContain(next[0]!.id);
    expect(next[0]!.bits).toBeGreaterThan(0.2);
    expect(next.map((t) => t.id)).not.toContain('magnet');
  });

  it('sees when the tests contradict each other', () => {
    expect(ask({ seen: { magnet: 'strong', scratch: 'red' } }).contradictory).toBe(true);
    expect(ask({ seen: { magnet: 'none', scratch: 'red' } }).contradictory).toBe(false);
  });

  it('refuses an unknown test and an unknown outcome', () => {
    const found = identify(table, { seen: { magnett: 'none', scratch: 'purple' }, hollow: 'unknown' });
    expect(found.ok ? [] : found.problems.map((p) => p.code)).toEqual(['test-unknown', 'outcome-unknown']);
  });

  it('is the same whatever the order of the tests', () => {
    const a = ask({ seen: { magnet: 'none', scratch: 'yellow' } }).ranked;
    const b = ask({ seen: { scratch: 'yellow', magnet: 'none' } }).ranked;
    for (const [i, r] of a.entries()) expect(r.probability).toBeCloseTo(b[i]!.probability, 14);
  });

  it('gains what information theory says', () => {
    const even = [0.5, 0.5];
    expect(
      expectedGain(entropy(even), even, [
        [1, 0],
        [0, 1],
      ]),
    ).toBeCloseTo(1, 12); // a perfect test: one bit
    expect(
      expectedGain(entropy(even), even, [
        [0.3, 0.3],
        [0.7, 0.7],
      ]),
    ).toBeCloseTo(0, 12); // a useless one
    // Binary symmetric channel with 11 % error: 1 - H(0.11) = 0.5001 bit (Cover & Thomas, from memory).
    expect(
      expectedGain(1, even, [
        [0.89, 0.11],
        [0.11, 0.89],
      ]),
    ).toBeCloseTo(0.5001, 3);
  });

  it('has the normal distribution right', () => {
    for (const [x, p] of [
      [0, 0.5],
      [1, 0.8413447],
      [-1.6448536, 0.05],
      [2.5758293, 0.995],
    ] as const)
      expect(normalCdf(x)).toBeCloseTo(p, 6);
  });
});

describe('ten thousand parts drawn from the table itself', () => {
  const seed = 20251;
  // Park-Miller generator: enough for draws, and the same everywhere.
  let state = seed;
  const random = () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
  const draw = (chances: readonly number[]) => {
    let left = random() * chances.reduce((a, b) => a + b, 0);
    return chances.findIndex((c) => {
      left -= c;
      return left <= 0;
    });
  };

  it(`a stated probability is met by its share of right answers (seed ${seed})`, () => {
    const bins = Array.from({ length: 5 }, () => ({ said: 0, right: 0, n: 0 }));
    for (let k = 0; k < 10_000; k++) {
      const metal = table.metals[draw(table.metals.map((m) => m.prior))]!;
      const seen = Object.fromEntries(
        table.tests.slice(0, 3).map((t) => [t.id, t.outcomes[draw(t.given[metal.id]!)]!]),
      );
      for (const r of rankMetals(table, { seen, hollow: 'unknown' })) {
        const bin = bins[Math.min(4, Math.floor(r.probability * 5))]!;
        bin.said += r.probability;
        bin.right += r.id === metal.id ? 1 : 0;
        bin.n += 1;
      }
    }
    for (const { said, right, n } of bins) {
      expect(n).toBeGreaterThan(500);
      // Four standard deviations of a count.
      expect(Math.abs(right - said)).toBeLessThan(4 * Math.sqrt(Math.max(said, 25)));
    }
  });
});

describe('take the job', () => {
  const sure = (id: string) => [{ id, name: id, substrate: id, probability: 0.97 }];
  const answer = (flags: string[], metals = sure('brass'), strength?: number) => {
    const g = gate(practice, { flags, metals, ...(strength && { strength }) });
    if (!g.ok) throw new Error(g.problems[0]!.message);
    return g.value;
  };

  it('says yes to plain brass and gives no reasons', () => {
    expect(answer([])).toEqual({ answer: 'yes', reasons: [] });
  });

  it.each([
    [['skin'], 'brass', 'conditions'],
    [['safety'], 'mild-steel', 'refer'],
    [['skin', 'radium'], 'brass', 'refer'],
    [[], 'zinc-die-casting', 'conditions'],
    [[], 'hardened-steel', 'conditions'],
    [[], 'aluminium', 'refer'],
    [[], 'lead', 'refer'],
    [['food'], 'silver', 'refer'],
    [['chromium'], 'mild-steel', 'conditions'],
    [['chromium'], 'zinc-die-casting', 'refer'],
    [['heritage'], 'silver', 'refer'],
  ])('flags %s on %s: %s, with a reason', (flags, metal, expected) => {
    const g = answer(flags, sure(metal));
    expect(g.answer).toBe(expected);
    expect(g.reasons.every((r) => r.reason.length > 20)).toBe(true);
    if (expected === 'refer')
      expect(g.reasons.some((r) => r.answer === 'refer' && r.who.length > 0)).toBe(true);
  });

  it('refers very hard steel out and wants a bake from 1000 MPa', () => {
    expect(answer([], sure('mild-steel'), 1100e6).answer).toBe('conditions');
    expect(answer([], sure('hardened-steel'), 1800e6).answer).toBe('refer');
    expect(answer([], sure('mild-steel'), 500e6).answer).toBe('yes');
  });

  it('asks for the next test while the metal is in doubt', () => {
    const unsure = [
      { id: 'brass', name: 'brass', substrate: 'brass', probability: 0.6 },
      { id: 'lead', name: 'lead alloy', substrate: 'lead', probability: 0.4 },
    ];
    const g = answer([], unsure);
    expect(g.answer).toBe('conditions');
    expect(g.reasons.some((r) => r.reason.includes('lead'))).toBe(true);
  });

  it('offers the nearest for an unknown circumstance', () => {
    const g = gate(practice, { flags: ['skim'], metals: [] });
    expect(g.ok ? '' : g.problems[0]!.hint).toContain('skin');
  });
});

describe('the mass of a solid part', () => {
  it('spans the alloys of a name', () => {
    const mass = massOf(practice, 'brass', 1e-6);
    if (!mass.ok) throw new Error(mass.problems[0]!.message);
    // Yellow brasses: 8.39 to 8.75 g/cm3 (handbook, from memory).
    expect(mass.value.low * 1e3).toBeCloseTo(8.39, 2);
    expect(mass.value.high * 1e3).toBeCloseTo(8.75, 2);
  });

  it('offers the nearest names', () => {
    const mass = massOf(practice, 'brss', 1e-6);
    expect(mass.ok).toBe(false);
    if (!mass.ok) expect(mass.problems[0]!.hint).toContain('brass');
  });
});
