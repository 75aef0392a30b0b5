import { expect, it } from 'vitest';
import { records } from './records.js';

const json = async (args: string[], options = {}) => {
  const result = await records.run(args, options);
  return (result.status === 'done' ? result.json : result) as Record<string, never>;
};

it('tells a record with its interval and source', async () => {
  const got = await json(['deposition.copper.i0']);
  expect(got).toMatchObject({ value: 10, unit: 'A/m2', printed: '1 mA/cm2', kind: 'assumed' });
  expect(got.low).toBeCloseTo(10 / 3, 9);
  expect(got.high).toBeCloseTo(30, 9);
  expect(got.source).toContain('from memory');
});

it('tells a window as what is recommended', async () => {
  const result = await records.run(['watts-nickel.ph'], {});
  expect(result.status === 'done' && result.text).toContain('recommended: 3.500 to 4.500 pH');
});

it('offers the nearest three to an unknown id', async () => {
  const got = await json(['ni.densty']);
  expect(got.problems).toMatchObject([{ code: 'record-unknown' }]);
  expect(JSON.stringify(got)).toContain('ni.density');
});

it('lists, and lists what nobody has seen', async () => {
  const all = (await json([])).records as unknown as { kind: string }[];
  const unseen = (await json([], { unseen: true })).records as unknown as { kind: string }[];
  expect(unseen.length).toBeGreaterThan(50);
  expect(unseen.length).toBeLessThan(all.length);
  expect(new Set(unseen.map((r) => r.kind))).toEqual(new Set(['assumed']));
});
