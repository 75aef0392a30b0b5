import { describe, expect, it } from 'vitest';
import { fixtureMap } from '../../../test/fixtures/forecast.js';
import { histogram, shareAbove } from './histogram.js';
import { quantileAt } from './quantiles.js';

describe('the histogram', () => {
  /** A unit square in two triangles whose thickness rises evenly from 0 to 10 um along x. */
  const ramp = {
    positions: [0, 0, 0, 1, 0, 0, 1, 1, 0, 0, 1, 0],
    triangles: [0, 1, 2, 0, 2, 3],
    thickness: [0, 10e-6, 10e-6, 0],
    significant: [1, 1],
  };
  it('spreads an even rise evenly', () => {
    for (const bar of histogram(ramp, 10e-6, 5)) expect(bar.share).toBeCloseTo(0.2, 9);
    expect(shareAbove(histogram(ramp, 10e-6, 5), 3e-6)).toBeCloseTo(0.7, 9);
  });
  it('leaves out what is not significant and keeps the rest whole', () => {
    const half = histogram({ ...ramp, significant: [1, 0] }, 10e-6, 4);
    expect(half.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 12);
    const none = histogram({ ...ramp, significant: [0, 0] }, 10e-6, 4);
    expect(none.every((b) => b.share === 0)).toBe(true);
  });
  it('puts everything above the top into the last bar', () => {
    const bars = histogram(ramp, 4e-6, 2);
    expect(bars[1]!.share).toBeCloseTo(0.8, 9);
    expect(bars[1]!.high).toBe(Infinity);
  });
  it('sums to one on a real map', () => {
    const bars = histogram(fixtureMap(), 2e-5, 20);
    expect(bars.reduce((sum, b) => sum + b.share, 0)).toBeCloseTo(1, 9);
  });
});

describe('quantiles', () => {
  const table = { '0': 4, '0.05': 8, '0.5': 10, '1': 20 };
  it('are exact at the entries and straight between', () => {
    expect([0, 0.05, 0.5, 1].map((s) => quantileAt(table, s))).toEqual([4, 8, 10, 20]);
    expect(quantileAt(table, 1 - 0.95)).toBe(8);
    expect(quantileAt(table, 0.75)).toBeCloseTo(15);
    expect(quantileAt({}, 0.5)).toBeNaN();
  });
});
