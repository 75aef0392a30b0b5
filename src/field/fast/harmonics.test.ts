import { describe, expect, it } from 'vitest';
import {
  derivativeRules,
  mirrorSigns,
  regular,
  shiftMatrix,
  termCount,
  transferMatrix,
} from './harmonics.js';

const irregular = (order: number, x: number, y: number, z: number): Float64Array => {
  const r2 = x * x + y * y + z * z;
  return regular(order, x / r2, y / r2, z / r2).map((v) => v / Math.sqrt(r2));
};
const dot = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
  let s = 0;
  for (let i = 0; i < a.length; i++) s += a[i] * b[i];
  return s;
};
const ORDER = 9;
const SIZE = termCount(ORDER);

describe('real solid harmonics', () => {
  it('reproduce 1/r as a sum of products', () => {
    const y = [0.2, -0.1, 0.15] as const;
    const x = [1.1, 0.7, -1.3] as const;
    const exact = 1 / Math.hypot(x[0] - y[0], x[1] - y[1], x[2] - y[2]);
    expect(dot(regular(20, ...y), irregular(20, ...x))).toBeCloseTo(exact, 12);
  });

  it('are shifted exactly by the shift matrix', () => {
    const a = [0.3, -0.2, 0.1] as const;
    const b = [0.25, -0.4, 0.5] as const;
    const matrix = shiftMatrix(ORDER, ...b);
    const shifted = regular(ORDER, a[0] + b[0], a[1] + b[1], a[2] + b[2]);
    const from = regular(ORDER, ...a);
    for (let k = 0; k < SIZE; k++)
      expect(dot(matrix.subarray(k * SIZE, (k + 1) * SIZE), from)).toBeCloseTo(shifted[k], 12);
  });

  it('turn a multipole into a local expansion by the transfer matrix', () => {
    const t = [0.11, -0.07, 0.05] as const;
    const d = [2, -1, 3] as const;
    const order = 14;
    const size = termCount(order);
    const matrix = transferMatrix(order, ...d);
    const local = regular(order, ...t);
    const exact = irregular(order, t[0] + d[0], t[1] + d[1], t[2] + d[2]);
    for (let j = 0; j < 64; j++) {
      let sum = 0;
      for (let k = 0; k < size; k++) sum += matrix[k * size + j] * local[k];
      expect(sum).toBeCloseTo(exact[j], 11);
    }
  });

  it('have mirrored transfer matrices for mirrored offsets', () => {
    const plain = transferMatrix(5, 1, 2, 3);
    for (let flips = 0; flips < 8; flips++) {
      const s = (bit: number): number => (flips & bit ? -1 : 1);
      const mirrored = transferMatrix(5, s(1), 2 * s(2), 3 * s(4));
      const sign = mirrorSigns(5, flips);
      for (let k = 0; k < 36; k++)
        for (let j = 0; j < 36; j++)
          expect(sign[k] * plain[k * 36 + j] * sign[j]).toBeCloseTo(mirrored[k * 36 + j], 12);
    }
  });

  it('have the derivatives the rules say, against central differences', () => {
    const p = [0.6, -0.5, 0.8];
    const h = 1e-5;
    for (const kind of ['falling', 'rising'] as const) {
      const at = kind === 'falling' ? regular : irregular;
      const rules = derivativeRules(6, kind);
      const values = at(7, p[0], p[1], p[2]);
      for (let axis = 0; axis < 3; axis++) {
        const derivative = new Float64Array(49);
        for (const r of rules[axis]) derivative[r.of] += r.factor * values[r.from];
        const up = p.map((v, i) => (i === axis ? v + h : v));
        const down = p.map((v, i) => (i === axis ? v - h : v));
        const above = at(6, up[0], up[1], up[2]);
        const below = at(6, down[0], down[1], down[2]);
        for (let k = 0; k < 49; k++) expect(derivative[k]).toBeCloseTo((above[k] - below[k]) / (2 * h), 6);
      }
    }
  });
});
