import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import { checkSequence, passageOf, prepareMixed } from './index.js';

const practice = testPractice();
const mixed = (names: string[], deposit: string) => {
  const found = prepareMixed(practice, names, deposit);
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
};

describe('several metals at the surface', () => {
  it.each([
    [['brass', 'copper'], 'nickel'],
    [['old-silver-plate', 'nickel-silver'], 'silver'],
    [['zinc-die-casting', 'mild-steel'], 'silver'], // a steel insert in a casting
    [['soft-soldered', 'copper'], 'nickel'],
  ])('%s to %s: one sequence that harms none of them', (names, deposit) => {
    const plan = mixed(names, deposit);
    expect(plan.steps.length).toBeGreaterThan(0);
    for (const substrate of plan.exposed)
      expect(checkSequence(plan.steps, passageOf(practice, { ...plan, substrate }))).toEqual([]);
  });

  it.each([
    [['brass', 'old-nickel'], 'nickel'],
    [['zinc-die-casting', 'copper'], 'nickel'], // the casting is cleaned as anode, which copper does not bear
    [['mild-steel', 'cast-iron'], 'nickel'], // the pores want a rinse longer than steel stays active
    [['hardened-steel', 'soft-soldered'], 'nickel'],
  ])('%s to %s: none, and it says what each would do', (names, deposit) => {
    const plan = mixed(names, deposit);
    expect(plan.steps).toEqual([]);
    expect(plan.reasons.length).toBe(names.length + 1);
    expect(plan.reasons.at(-1)).toMatch(/Who can/);
  });

  it('is the plain sequence for one metal, whichever way the names are ordered', () => {
    expect(mixed(['brass'], 'nickel').steps.map((s) => s.id)).toContain('electroclean-brass');
    const there = mixed(['brass', 'copper'], 'nickel').steps.length > 0;
    expect(mixed(['copper', 'brass'], 'nickel').steps.length > 0).toBe(there);
  });

  it('refuses when one of them is refused, and offers the nearest for a wrong name', () => {
    expect(mixed(['brass', 'aluminium'], 'nickel').reasons[0]).toMatch(/Who can/);
    const wrong = prepareMixed(practice, ['brass', 'stel'], 'nickel');
    expect(wrong.ok ? '' : wrong.problems[0]!.hint).toContain('steel');
  });
});
