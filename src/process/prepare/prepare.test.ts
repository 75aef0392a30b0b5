import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import { benchRows, benchText, checkSequence, compose, passageOf, prepare, withStrength } from './index.js';

const practice = testPractice();
const pairs = [...practice.substrates.values()].flatMap((substrate) =>
  [...practice.deposits.values()].map((deposit) => ({ substrate, deposit })),
);

describe('every substrate with every deposit', () => {
  it('covers at least fourteen by nine', () => {
    expect(practice.substrates.size).toBeGreaterThanOrEqual(14);
    expect(practice.deposits.size).toBeGreaterThanOrEqual(9);
  });

  it.each(pairs)('$substrate.id + $deposit.id: a sequence without fault, or a reason and who can', (pair) => {
    const preparation = compose(practice, pair.substrate, pair.deposit);
    if (preparation.steps.length > 0)
      expect(checkSequence(preparation.steps, passageOf(practice, preparation))).toEqual([]);
    else {
      expect(preparation.reasons.length).toBeGreaterThan(0);
      for (const reason of preparation.reasons) expect(reason).toMatch(/Who can: \S/);
    }
    expect(preparation.steps.length === 0).toBe(preparation.reasons.length > 0);
  });
});

describe('the bench sheet', () => {
  const { steps } = compose(
    practice,
    practice.substrates.get('cast-iron')!,
    practice.deposits.get('nickel')!,
  );
  const rows = benchRows(steps);

  it('has a line for each bath with its rinses behind it, and loses no step', () => {
    expect(rows.map((r) => r.id)).not.toContain('rinse-first');
    const rinses = rows.flatMap((r) => (r.rinses ? r.rinses.split(', then ') : []));
    expect(rows.length + rinses.length).toBe(steps.length);
    expect(rows.find((r) => r.id === 'pickle-cast-iron')!.rinses).toBe('long rinse, then deionised rinse');
  });

  it('says current, polarity and live entry in the words of the bench', () => {
    expect(rows.find((r) => r.id === 'nickel')!.figures).toMatch(
      /- \(cathode\) 1-4 A\/dm2, current on before/,
    );
    const text = benchText(steps).join('\n');
    expect(text).toContain('60-80 C');
    expect(text).toContain('wait at most 60 s before it');
    expect(text).not.toMatch(/undefined|NaN/);
  });
});

describe('steel of a known strength', () => {
  const steps = (substrate: string, deposit = 'nickel') =>
    compose(practice, practice.substrates.get(substrate)!, practice.deposits.get(deposit)!);

  it.each([
    [1150, 3, 10],
    [1450, 18, 16],
    [1650, 18, 20],
  ])('%d MPa: relief %d h, bake %d h', (mpa, relief, bake) => {
    const hard = steps('hardened-steel');
    const exact = withStrength(practice, hard.steps, 'nickel', mpa * 1e6);
    if (!exact.ok) throw new Error(exact.problems[0]!.message);
    expect(exact.value[0]!.time).toEqual({ from: relief * 3600, to: relief * 3600 });
    expect(exact.value.at(-1)!.time).toEqual({ from: bake * 3600, to: bake * 3600 });
    expect(checkSequence(exact.value, passageOf(practice, hard))).toEqual([]);
  });

  it('refuses steel above 1700 MPa, and strong steel that was called mild', () => {
    const code = (substrate: string, mpa: number) => {
      const exact = withStrength(practice, steps(substrate).steps, 'nickel', mpa * 1e6);
      return exact.ok ? '' : exact.problems[0]!.code;
    };
    expect(code('hardened-steel', 1800)).toBe('too-strong');
    expect(code('mild-steel', 1200)).toBe('needs-bake');
    expect(code('mild-steel', 500)).toBe('');
  });
});

describe('names', () => {
  it.each([
    ['pot metal', 'zinc-die-casting'],
    ['Pot_Metal', 'zinc-die-casting'],
    ['STAINLESS STEEL', 'stainless-steel'],
    ['mild steel', 'mild-steel'],
    ['nickel silver', 'nickel-silver'],
    ['aluminum', 'aluminium'],
  ])('%s is %s', (typed, id) => {
    const found = prepare(practice, typed, 'Copper Nickel');
    expect(found.ok && [found.value.substrate.id, found.value.deposit.id]).toEqual([id, 'copper-nickel']);
  });
});
