import { describe, expect, it, vi } from 'vitest';
import { testPractice } from '../../../test/practice.js';

vi.mock('../practice.js', () => ({ shippedPractice: () => testPractice() }));
const { identify } = await import('./identify.js');

describe('platewright identify', () => {
  it('ranks, says what to try next and whether to take the job', async () => {
    const result = await identify.run([], {
      seen: 'magnet=none, scratch=bluish-white',
      air: '52.31 g',
      water: '44.5 g',
      circumstances: 'skin',
    });
    if (result.status !== 'done') throw new Error('refused');
    expect(result.json).toMatchObject({ gate: { answer: 'conditions' }, contradictory: false });
    const { ranked, density } = result.json as { ranked: { id: string }[]; density: { value: number } };
    expect(ranked[0]!.id).toBe('zinc-die-casting');
    expect(density.value).toBeCloseTo(6680, -1);
    expect(result.text).toContain('with conditions');
  });

  it('collects every problem at once', async () => {
    const result = await identify.run([], {
      seen: 'magnet=nn,foo=1',
      air: '5',
      scale: '-1 g',
      hollow: 'maybe',
    });
    if (result.status !== 'refused') throw new Error('not refused');
    const codes = result.problems.map((p) => p.code);
    for (const code of [
      'outcome-unknown',
      'test-unknown',
      'unit-missing',
      'option-missing',
      'not-positive',
      'word-unknown',
    ])
      expect(codes).toContain(code);
  });
});
