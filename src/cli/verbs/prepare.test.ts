import { beforeAll, describe, expect, it, vi } from 'vitest';
import { testPractice } from '../../../test/practice.js';

vi.mock('../practice.js', () => ({ shippedPractice: () => testPractice() }));
const { prepare } = await import('./prepare.js');

const run = (options: Record<string, string | boolean>) => prepare.run([], options);
interface Document {
  refused: boolean;
  reasons: string[];
  steps: { id: string; title: string; why: string; source: string; time?: { min: number; max: number } }[];
  cautions: string[];
}

describe('platewright prepare', () => {
  let brass: Document;
  beforeAll(async () => {
    const result = await run({ substrate: 'brass', deposit: 'nickel' });
    if (result.status !== 'done') throw new Error('brass with nickel was refused');
    brass = result.json as Document;
  });

  it('prints ordered steps with reason and source', () => {
    expect(brass.refused).toBe(false);
    expect(brass.reasons).toEqual([]);
    for (const step of brass.steps)
      for (const key of ['id', 'title', 'why', 'source'] as const)
        expect(step[key].length).toBeGreaterThan(0);
    const ids = brass.steps.map((s) => s.id);
    expect(ids.indexOf('degrease')).toBeLessThan(ids.indexOf('electroclean-brass'));
    expect(ids.indexOf('electroclean-brass')).toBeLessThan(ids.indexOf('final-acid-copper'));
    expect(ids.indexOf('final-acid-copper')).toBeLessThan(ids.indexOf('nickel'));
  });

  it('gives SI numbers', () => {
    expect(brass.steps.find((s) => s.id === 'final-acid-copper')!.time).toEqual({ min: 10, max: 30 });
  });

  it('refuses a combination with a reason and who can, as a finished answer', async () => {
    const result = await run({ substrate: 'steel', deposit: 'chrome' });
    expect(result.status).toBe('done');
    const json = (result as { json: unknown }).json as Document;
    expect(json).toMatchObject({ refused: true, steps: [] });
    expect(json.reasons[0]).toMatch(/Who can/);
  });

  it('offers the nearest three for both unknown names at once', async () => {
    const result = await run({ substrate: 'brsas', deposit: 'nikel' });
    if (result.status !== 'refused') throw new Error('not refused');
    expect(result.problems.map((p) => p.path)).toEqual(['--substrate', '--deposit']);
    expect(result.problems[0]!.hint).toContain('brass');
    expect(result.problems[1]!.hint).toContain('nickel');
    for (const p of result.problems) expect(p.hint!.split(',')).toHaveLength(3);
  });

  it('asks for what is missing and lists the names', async () => {
    expect((await run({})).status).toBe('refused');
    const listed = await run({ list: true });
    expect(listed.status === 'done' && listed.json).toMatchObject({
      substrates: expect.arrayContaining(['brass', 'zinc-die-casting']),
      deposits: expect.arrayContaining(['nickel', 'silver']),
    });
  });
});
