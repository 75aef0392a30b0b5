import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bytesOf } from '../../../test/fixtures/meshes.js';
import { numberAt } from './text.js';

const read = (text: string): number => numberAt(bytesOf(text), 0, text.length);

test('every number JavaScript can print is read back exactly', () => {
  fc.assert(
    fc.property(
      fc.double({ noNaN: true, noDefaultInfinity: true }),
      fc.integer({ min: 0, max: 20 }),
      (x, digits) => {
        for (const text of [String(x), x.toExponential(digits), `+${Math.abs(x)}`])
          expect(read(text)).toBe(Number(text));
      },
    ),
    { numRuns: 3000 },
  );
});

test('odd but plain numbers are numbers, and everything else is none', () => {
  expect(['2.', '+2.', '-.5', '1E+2', '007', '1,5', '0.00000000000000000001'].map(read)).toEqual([
    2, 2, -0.5, 100, 7, 1.5, 1e-20,
  ]);
  for (const text of [
    '',
    '+',
    '.',
    'nan',
    'inf',
    '1.#IND',
    '3.1+e2',
    '1e',
    '1e+',
    '0x10',
    '1.000,5',
    '1,000,000',
    '1 2',
    '--1',
  ])
    expect(read(text), text).toBeNaN();
});
