import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import {
  depositSystem,
  levelling,
  plateable,
  polishOrder,
  SERVICE,
  type StripRequest,
  type SystemRequest,
  stripWays,
  threadRoom,
} from './index.js';

const library = testLibrary();
const practice = testPractice();
const metal = (name: string) => {
  const found = plateable(library, name);
  if (!found.ok) throw new Error(name);
  return found.value;
};

describe('stripping', () => {
  const ways = (patch: Partial<StripRequest>) => {
    const found = stripWays(library, practice, {
      layer: 'nickel',
      base: 'brass',
      thickness: 10e-6,
      area: 0.004,
      ...patch,
    });
    if (!found.ok) throw new Error(found.problems[0]!.message);
    return found.value;
  };

  it("gives the charge of Faraday's law, longer where the current is less efficient", () => {
    const [first] = ways({});
    expect(first!.id).toBe('nickel-anodic-sulfuric');
    expect(first!.charge!.min).toBeCloseTo(4.8812 * 60 * 10 * 0.4, 0); // trade table: 4.8812 A min/dm2 a um
    expect(first!.charge!.max).toBeCloseTo(first!.charge!.min / 0.8, 6);
    expect(first!.removed! * 1e3).toBeCloseTo(0.3563, 3); // 0.891 mg/cm2 a um
    expect(first!.time!.min).toBeCloseTo(first!.charge!.min / first!.current!.max, 9);
  });

  it('closes the ways that destroy the base, and says what they do', () => {
    for (const base of ['zinc-die-casting', 'aluminium', 'hardened-steel']) {
      const chemical = ways({ base }).filter((w) => w.way !== 'mechanical');
      expect(chemical.some((w) => w.allowed)).toBe(false);
      expect(chemical.every((w) => w.onBase.length > 5)).toBe(true);
      expect(ways({ base })[0]!.way).toBe('mechanical');
    }
  });

  it('refers silver, gold and cadmium out and names who can', () => {
    for (const layer of ['silver', 'gold', 'cadmium'])
      expect(ways({ layer }).find((w) => w.way === 'refer')!.onBase).toMatch(/Who can/);
  });

  it('never strips chromium as anode', () => {
    expect(ways({ layer: 'chromium', base: 'old-nickel' }).map((w) => w.way)).not.toContain('anodic');
  });

  it('offers the nearest for an unknown layer and base together', () => {
    const found = stripWays(library, practice, { layer: 'nikel', base: 'bras', thickness: 1e-5, area: 0.01 });
    expect(found.ok ? [] : found.problems.map((p) => p.path)).toEqual(['base', 'layer']);
  });
});

describe('deposit systems', () => {
  const ask = (patch: Partial<SystemRequest>) =>
    depositSystem(library, practice, {
      deposit: 'nickel',
      base: 'mild-steel',
      service: 'moderate',
      evenness: 1,
      polish: 0,
      wear: 0,
      ...patch,
    });
  const least = (patch: Partial<SystemRequest>) => {
    const found = ask(patch);
    if (!found.ok) throw new Error(found.problems[0]!.message);
    return found.value.layers.map((l) => Math.round(l.least * 1e8) / 100);
  };

  it.each([
    [{ service: 'mild' }, [10]],
    [{ service: 'moderate' }, [20]],
    [{ service: 'severe' }, [30]],
    [{ service: 'very-severe' }, [40]],
    [{ base: 'brass', service: 'severe' }, [25]],
    [{ base: 'zinc-die-casting', deposit: 'copper-nickel', service: 'moderate' }, [5, 20]],
    [{ deposit: 'zinc', service: 'severe' }, [12]],
    [{ deposit: 'tin', base: 'brass', service: 'severe' }, [15]],
    [{ deposit: 'tin', service: 'severe' }, [20]],
    [{ deposit: 'nickel-acetate', service: 'mild' }, [10]],
  ] as const)('%o has %o um', (patch, expected) => {
    expect(least(patch)).toEqual(expected);
  });

  it('never asks less of harder service', () => {
    for (const deposit of ['nickel', 'zinc', 'tin', 'copper'])
      for (const base of ['mild-steel', 'brass']) {
        const mins = SERVICE.map((service) => ask({ deposit, base, service })).flatMap((s) =>
          s.ok ? [s.value.layers.at(-1)!.least] : [],
        );
        // Nickel under microdiscontinuous chromium (extended service) is the one published exception.
        const graded = deposit === 'nickel' && base === 'mild-steel' ? mins.slice(0, 4) : mins;
        expect([...graded].sort((a, b) => a - b)).toEqual(graded);
      }
  });

  it('plates more where the deposit is uneven and is polished and worn', () => {
    const found = ask({ evenness: 0.5, polish: 2e-6, wear: 3e-6 });
    expect(found.ok && found.value.layers[0]!.mean).toBeCloseTo((20e-6 + 5e-6) / 0.5, 12);
  });

  it('refuses what cannot be', () => {
    const found = ask({ evenness: 0, polish: -1, deposit: 'nikel' });
    expect(found.ok ? [] : found.problems.map((p) => p.code)).toEqual([
      'deposit-unknown',
      'evenness-out-of-range',
      'negative',
    ]);
    const none = ask({ deposit: 'rhodium', service: 'extended' });
    expect(none.ok ? '' : none.problems[0]!.code).toBe('service-unknown');
  });

  it('warns of nickel on skin and of classes meant for chromium on top', () => {
    const found = ask({});
    const text = found.ok ? found.value.warnings.join(' ') : '';
    expect(text).toMatch(/skin/);
    expect(text).toMatch(/chromium/);
  });
});

describe('threads', () => {
  const room = (um: number, members: 1 | 2, pitch = 1e-3, slenderness = 0) => {
    const found = threadRoom(practice, {
      pitch,
      thickness: um * 1e-6,
      members,
      angle: Math.PI / 3,
      slenderness,
    });
    if (!found.ok) throw new Error(found.problems[0]!.message);
    return found.value;
  };

  it('eats 40 um of the 26 um of an M6 where 5 um lie on bolt and nut (worked example in fastener notes)', () => {
    const both = room(5, 2);
    expect(both.growth * 1e6).toBeCloseTo(40, 9);
    expect(both.room! * 1e6).toBeCloseTo(26, 9);
    expect(both.fits).toBe(false);
    expect(room(5, 1).fits).toBe(true);
  });

  it.each([
    [3, 12, 15, 18],
    [5, 20, 25, 30],
    [8, 32, 40, 48],
    [10, 40, 50, 60],
    [20, 80, 100, 120],
    [30, 120, 150, 180],
  ])('%d um asks the room of the ISO 4042 table (%d, %d, %d um)', (um, short, medium, long) => {
    expect(room(um, 1, 1e-3, 4).growth * 1e6).toBeCloseTo(short, 9);
    expect(room(um, 1, 1e-3, 8).growth * 1e6).toBeCloseTo(medium, 9);
    expect(room(um, 1, 1e-3, 12).growth * 1e6).toBeCloseTo(long, 9);
  });

  it('has the room of ISO 965-1: 15 + 11 P um within 1.3 um, from 0.5 mm pitch', () => {
    for (const { pitch, room: r } of practice.threads.values())
      if (pitch >= 0.5e-3 - 1e-9) expect(Math.abs(r * 1e6 - (15 + 11 * pitch * 1e3))).toBeLessThan(1.3);
  });

  it('does not judge a pitch or angle it has no table for', () => {
    expect(room(5, 1, 0.9e-3).fits).toBeUndefined();
    const whitworth = threadRoom(practice, {
      pitch: 1e-3,
      thickness: 5e-6,
      members: 1,
      angle: (55 * Math.PI) / 180,
    });
    expect(whitworth.ok && whitworth.value.factor).toBeCloseTo(2 / Math.sin((27.5 * Math.PI) / 180), 12);
    expect(whitworth.ok && whitworth.value.fits).toBeUndefined();
  });
});

describe('surface', () => {
  it('buries a 100 um pit with 150-200 um of copper, of which half to all is sanded off again', () => {
    const plan = levelling(metal('copper'), 100e-6, 200, 1);
    expect(plan.copper.min).toBeCloseTo(150e-6, 12);
    expect(plan.sanded.max).toBeCloseTo(100e-6, 12);
    expect(plan.time.min / 3600).toBeCloseTo(1.5 * 3.78, 1); // 100 um at 2 A/dm2 is 3.8 h
    expect(plan.rounds).toEqual({ min: 3, max: 4 });
  });

  it('orders the papers from coarse to fine and stops when it is good enough', () => {
    const order = polishOrder(practice, 30e-6, 1e-6);
    const leaves = order.map((s) => s.leaves);
    expect([...leaves].sort((a, b) => b - a)).toEqual(leaves);
    expect(leaves.at(-1)).toBeLessThanOrEqual(1e-6);
    expect(leaves.slice(0, -1).every((l) => l > 1e-6)).toBe(true);
    for (const [i, step] of order.entries()) expect(step.takes).toBe(i ? leaves[i - 1] : 30e-6);
    expect(polishOrder(practice, 0.5e-6, 1e-6)).toEqual([]);
  });
});
