import { describe, expect, it } from 'vitest';
import { NORMAL_90, type Parameter, parameterAt } from './index.js';

const factor: Parameter = { name: 'i0', record: 'x', nominal: 2, low: 1, high: 6, distribution: 'lognormal' };
const shift: Parameter = {
  name: 'E0',
  record: 'x',
  nominal: -0.25,
  low: -0.28,
  high: -0.23,
  distribution: 'normal',
};

describe('uncertain parameters', () => {
  it.each([factor, shift])('reach the ends of their interval at the 5 % and 95 % quantiles', (p) => {
    expect(parameterAt(p, 0)).toBe(p.nominal);
    expect(parameterAt(p, NORMAL_90)).toBeCloseTo(p.high, 12);
    expect(parameterAt(p, -NORMAL_90)).toBeCloseTo(p.low, 12);
  });

  it('move by equal factors when lognormal and by equal steps when normal', () => {
    expect(parameterAt(factor, NORMAL_90 / 2) ** 2).toBeCloseTo(2 * 6, 12);
    expect(parameterAt(shift, NORMAL_90 / 2)).toBeCloseTo(-0.24, 12);
  });

  it('do not move when exact', () => {
    expect(parameterAt({ ...factor, distribution: 'exact' }, 3)).toBe(2);
  });
});
