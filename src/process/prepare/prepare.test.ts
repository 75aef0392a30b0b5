import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import { checkSequence, compose, passageOf } from './index.js';

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
