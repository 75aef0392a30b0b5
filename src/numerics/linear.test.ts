import { expect, test } from 'vitest';
import { factorLu, gmres, solveLu } from './index.js';

/** A diagonally uneven, unsymmetric matrix with a known solution. */
function system(n: number) {
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) a[i * n + j] = Math.sin(1.7 * i + 3.1 * j) + (i === j ? 3 + i : 0);
  const x = Float64Array.from({ length: n }, (_, i) => Math.cos(i));
  const b = Float64Array.from({ length: n }, (_, i) => x.reduce((sum, xj, j) => sum + a[i * n + j] * xj, 0));
  return { a, x, b };
}

test('LU solves to rounding, also where rows must be swapped', () => {
  const { a, x, b } = system(30);
  solveLu(factorLu(a.slice(), 30)!, b);
  for (let i = 0; i < 30; i++) expect(b[i]).toBeCloseTo(x[i], 10);
  const swap = Float64Array.of(5, 7);
  solveLu(factorLu(Float64Array.of(0, 2, 3, 0), 2)!, swap);
  expect([...swap]).toEqual([7 / 3, 2.5]);
  expect(factorLu(Float64Array.of(Number.NaN), 1)).toBeNull();
});

test('GMRES reaches the known solution and says so when it may not go on', () => {
  const n = 60;
  const { a, x, b } = system(n);
  const matrix = (v: Float64Array, out: Float64Array) => {
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum += a[i * n + j] * v[j];
      out[i] = sum;
    }
  };
  const jacobi = (r: Float64Array, out: Float64Array) => {
    for (let i = 0; i < n; i++) out[i] = r[i] / a[i * n + i];
  };
  const found = new Float64Array(n);
  const good = gmres(n, matrix, jacobi, b, found, { tolerance: 1e-12, maxSteps: 60 });
  expect(good.status).toBe('converged');
  for (let i = 0; i < n; i++) expect(found[i]).toBeCloseTo(x[i], 9);
  expect(gmres(n, matrix, jacobi, b, found, { tolerance: 1e-12, maxSteps: 3 }).status).toBe('stalled');
});
