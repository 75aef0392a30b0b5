import { expect, test } from 'vitest';
import { gaussLegendre, triangleRule } from './quadrature.js';

const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1));

test('Gauss-Legendre integrates monomials up to degree 2n - 1 and no further', () => {
  for (const n of [1, 2, 5, 12]) {
    const { x, w } = gaussLegendre(n);
    const integral = (k: number) => x.reduce((sum, xi, i) => sum + w[i] * xi ** k, 0);
    for (let k = 0; k < 2 * n; k++) expect(integral(k)).toBeCloseTo(1 / (k + 1), 13);
    if (n < 5) expect(Math.abs(integral(2 * n) - 1 / (2 * n + 1))).toBeGreaterThan(1e-5);
  }
});

test('triangle rules integrate every monomial up to their degree: a! b! / (a + b + 2)! (closed form)', () => {
  for (const degree of [1, 2, 4, 5, 6, 8] as const) {
    const { s, t, w } = triangleRule(degree);
    const error = (a: number, b: number) =>
      s.reduce((sum, si, i) => sum + w[i] * si ** a * t[i] ** b, 0) -
      (factorial(a) * factorial(b)) / factorial(a + b + 2);
    for (let a = 0; a <= degree; a++)
      for (let b = 0; a + b <= degree; b++) expect(Math.abs(error(a, b))).toBeLessThan(3e-14);
    let next = 0;
    for (let a = 0; a <= degree + 1; a++) next = Math.max(next, Math.abs(error(a, degree + 1 - a)));
    expect(next).toBeGreaterThan(1e-7);
  }
});
