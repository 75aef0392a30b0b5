import { type TriangleRule, triangleRule } from '../numerics/index.js';

/**
 * Unknowns of a panel: values at 1, 3 or 6 interior points, which are at the same time the points of a quadrature rule
 * of degree 1, 2 or 4 with positive weights, and the polynomial (constant, linear, quadratic) through them. No node lies
 * on an edge or corner, so edges, meeting laws and hanging corners need no care.
 */
export interface Basis {
  nodes: 1 | 3 | 6;
  rule: TriangleRule;
  /**
   * Monomial coefficients of the polynomial that is 1 at node k and 0 at the others: coef[6 k + m] for
   * m = 1, s, t, s^2, s t, t^2 (zeros where the degree is lower).
   */
  coef: Float64Array;
}

const known = new Map<number, Basis>();

export function basisOf(nodes: 1 | 3 | 6): Basis {
  const ready = known.get(nodes);
  if (ready) return ready;
  const rule = triangleRule(nodes === 1 ? 1 : nodes === 3 ? 2 : 4);
  const basis = { nodes, rule, coef: invertVandermonde(rule, nodes) };
  known.set(nodes, basis);
  return basis;
}

/** Value of the polynomial of node k at (s, t). */
export function basisAt(basis: Basis, k: number, s: number, t: number): number {
  const { coef } = basis;
  const c = 6 * k;
  return (
    coef[c] + s * (coef[c + 1] + s * coef[c + 3] + t * coef[c + 4]) + t * (coef[c + 2] + t * coef[c + 5])
  );
}

/** Gauss-Jordan on the tiny matrix of monomials at the nodes. */
function invertVandermonde(rule: TriangleRule, n: number): Float64Array {
  const rows = Array.from({ length: n }, (_, k) => {
    const s = rule.s[k];
    const t = rule.t[k];
    const identity = Array.from({ length: n }, (_, j) => (j === k ? 1 : 0));
    return [...[1, s, t, s * s, s * t, t * t].slice(0, n), ...identity];
  });
  for (let i = 0; i < n; i++) {
    let best = i;
    for (let r = i; r < n; r++) if (Math.abs(rows[r][i]) > Math.abs(rows[best][i])) best = r;
    [rows[i], rows[best]] = [rows[best], rows[i]];
    const pivot = rows[i][i];
    rows[i] = rows[i].map((v) => v / pivot);
    for (let r = 0; r < n; r++) {
      if (r === i) continue;
      const factor = rows[r][i];
      rows[r] = rows[r].map((v, c) => v - factor * rows[i][c]);
    }
  }
  const coef = new Float64Array(6 * n);
  for (let k = 0; k < n; k++) for (let m = 0; m < n; m++) coef[6 * k + m] = rows[m][n + k];
  return coef;
}
