/** Quadrature on the unit interval and on the unit triangle {s, t >= 0, s + t <= 1}. */

export interface IntervalRule {
  /** Points in (0, 1). */
  x: Float64Array;
  /** Weights, sum 1. */
  w: Float64Array;
}

export interface TriangleRule {
  s: Float64Array;
  t: Float64Array;
  /** Weights, sum 1/2 (the area of the unit triangle). */
  w: Float64Array;
}

const intervals = new Map<number, IntervalRule>();

/** Gauss-Legendre with n points on [0, 1], exact to degree 2n - 1. Roots by Newton from the Chebyshev guess. */
export function gaussLegendre(n: number): IntervalRule {
  const known = intervals.get(n);
  if (known) return known;
  const x = new Float64Array(n);
  const w = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let z = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let step = 0; step < 50; step++) {
      let p = 1;
      let before = 0;
      for (let j = 1; j <= n; j++) {
        const older = before;
        before = p;
        p = ((2 * j - 1) * z * before - (j - 1) * older) / j;
      }
      slope = (n * (z * p - before)) / (z * z - 1);
      const dz = p / slope;
      z -= dz;
      if (Math.abs(dz) < 1e-15) break;
    }
    x[i] = 0.5 * (1 - z);
    w[i] = 1 / ((1 - z * z) * slope * slope);
  }
  const rule = { x, w };
  intervals.set(n, rule);
  return rule;
}

/** Orbits of a symmetric rule: weight (of the unit total) and barycentric coordinates; permutations are added. */
type Orbit = [weight: number, a: number, b: number, c: number];

/**
 * Symmetric rules with positive weights and interior points. Degrees 1, 2: midpoint and Hammer-Stroud; 4 and 6: Strang
 * and Fix (1973) as printed in Dunavant, Int. J. Numer. Methods Eng. 21 (1985) 1129; 5: Radon (1948), closed form;
 * 8: Dunavant. Digits from memory; the test integrates every monomial up to the degree.
 */
const ORBITS: Record<number, Orbit[]> = {
  1: [[1, 1 / 3, 1 / 3, 1 / 3]],
  2: [[1 / 3, 2 / 3, 1 / 6, 1 / 6]],
  4: [
    [0.223381589678011, 0.10810301816807, 0.445948490915965, 0.445948490915965],
    [0.109951743655322, 0.816847572980459, 0.091576213509771, 0.091576213509771],
  ],
  5: [
    [0.225, 1 / 3, 1 / 3, 1 / 3],
    [(155 + Math.sqrt(15)) / 1200, ...pair((6 + Math.sqrt(15)) / 21)],
    [(155 - Math.sqrt(15)) / 1200, ...pair((6 - Math.sqrt(15)) / 21)],
  ],
  6: [
    [0.116786275726379, 0.501426509658179, 0.24928674517091, 0.24928674517091],
    [0.050844906370207, 0.873821971016996, 0.063089014491502, 0.063089014491502],
    [0.082851075618374, 0.053145049844817, 0.310352451033784, 0.636502499121399],
  ],
  8: [
    [0.144315607677787, 1 / 3, 1 / 3, 1 / 3],
    [0.095091634267285, 0.081414823414554, 0.459292588292723, 0.459292588292723],
    [0.103217370534718, 0.65886138449648, 0.17056930775176, 0.17056930775176],
    [0.032458497623198, 0.898905543365938, 0.050547228317031, 0.050547228317031],
    [0.027230314174435, 0.008394777409958, 0.263112829634638, 0.728492392955404],
  ],
};

function pair(b: number): [number, number, number] {
  return [1 - 2 * b, b, b];
}

const triangles = new Map<number, TriangleRule>();

/** Rule exact for polynomials up to `degree` (1, 2, 4, 5, 6 or 8), with 1, 3, 6, 7, 12, 16 points. */
export function triangleRule(degree: 1 | 2 | 4 | 5 | 6 | 8): TriangleRule {
  const known = triangles.get(degree);
  if (known) return known;
  const points: [number, number, number][] = [];
  for (const [weight, a, b, c] of ORBITS[degree]) {
    const orders =
      a === b && b === c
        ? [[b, c]]
        : b === c
          ? [
              [b, c],
              [a, b],
              [b, a],
            ]
          : [
              [a, b],
              [b, a],
              [a, c],
              [c, a],
              [b, c],
              [c, b],
            ];
    for (const [s, t] of orders) points.push([s, t, weight / 2]);
  }
  const total = points.reduce((sum, p) => sum + p[2], 0);
  const rule = {
    s: Float64Array.from(points, (p) => p[0]),
    t: Float64Array.from(points, (p) => p[1]),
    w: Float64Array.from(points, (p) => (p[2] * 0.5) / total),
  };
  triangles.set(degree, rule);
  return rule;
}
