/**
 * Closed forms for plane triangles: integrals of 1, x, x x times 1/R and of the same times n.(r - r')/R^3, where x is
 * the in-plane vector from the projection of the observer r to the integration point r', and R = |r - r'|.
 * Sources: D. R. Wilton et al., IEEE Trans. Antennas Propag. 32 (1984) 276 (constant and linear, 1/R); R. D. Graglia,
 * IEEE Trans. Antennas Propag. 41 (1993) 1448 (linear, gradient); the quadratic ones follow by one more use of the
 * divergence theorem (docs/theory/field.md). Formulas re-derived here; near.test.ts compares them with quadrature.
 */

/** Where `flatMoments` leaves its results. Vectors are in the plane's own axes (e1, e2). */
export interface FlatMoments {
  /** [S, S1, S2, S11, S12, S22]: integrals of 1, x1, x2, x1 x1, x1 x2, x2 x2 over R [m, m2, m3]. */
  single: Float64Array;
  /** The same with n.(r - r')/R^3 in place of 1/R; the first one is the solid angle, positive on the side of n. */
  double: Float64Array;
}

export const newMoments = (): FlatMoments => ({ single: new Float64Array(6), double: new Float64Array(6) });

/**
 * @param corner in-plane coordinates of the three corners relative to the projection of the observer, counter-clockwise:
 *   a1, a2, b1, b2, c1, c2 [m]
 * @param height n.(r - plane) of the observer [m]
 * @param degree highest degree wanted: 0, 1 or 2
 */
export function flatMoments(corner: Float64Array, height: number, degree: number, out: FlatMoments): void {
  const h2 = height * height;
  const above = Math.abs(height);
  const { single, double } = out;
  let s0 = 0;
  let angle = 0;
  let s1 = 0;
  let s2 = 0;
  let d1 = 0;
  let d2 = 0;
  let radial = 0;
  let m11 = 0;
  let m12 = 0;
  let m22 = 0;
  let k11 = 0;
  let k12 = 0;
  let k22 = 0;
  for (let e = 0; e < 3; e++) {
    const ax = corner[2 * e];
    const ay = corner[2 * e + 1];
    const bx = corner[(2 * e + 2) % 6];
    const by = corner[(2 * e + 3) % 6];
    const length = Math.sqrt((bx - ax) * (bx - ax) + (by - ay) * (by - ay));
    if (length === 0) continue;
    const tx = (bx - ax) / length;
    const ty = (by - ay) / length;
    const mx = ty;
    const my = -tx;
    const p = ax * mx + ay * my;
    const from = ax * tx + ay * ty;
    const to = bx * tx + by * ty;
    const near2 = p * p + h2;
    const rFrom = Math.sqrt(from * from + near2);
    const rTo = Math.sqrt(to * to + near2);
    // The observer may sit on the edge's line, never on the edge: nodes are interior. Take the stable form of the log.
    let log: number;
    if (from > 0) log = Math.log((rTo + to) / (rFrom + from));
    else if (to < 0) log = Math.log((rFrom - from) / (rTo - to));
    else log = near2 > 0 ? Math.log(((rTo + to) * (rFrom - from)) / near2) : 0;
    const beta =
      near2 > 0
        ? Math.atan((p * to) / (near2 + above * rTo)) - Math.atan((p * from) / (near2 + above * rFrom))
        : 0;
    s0 += p * log - above * beta;
    angle += beta;
    if (degree === 0) continue;
    const along = 0.5 * (near2 * log + to * rTo - from * rFrom);
    s1 += mx * along;
    s2 += my * along;
    d1 -= mx * log;
    d2 -= my * log;
    if (degree === 1) continue;
    radial += p * along;
    const cubic = (rTo * rTo * rTo - rFrom * rFrom * rFrom) / 3;
    const step = rTo - rFrom;
    m11 += mx * (mx * p * along + tx * cubic);
    m12 += mx * (my * p * along + ty * cubic);
    m22 += my * (my * p * along + ty * cubic);
    k11 += mx * (mx * p * log + tx * step);
    k12 += mx * (my * p * log + ty * step);
    k22 += my * (my * p * log + ty * step);
  }
  single[0] = s0;
  double[0] = height > 0 ? angle : height < 0 ? -angle : 0;
  if (degree === 0) return;
  single[1] = s1;
  single[2] = s2;
  double[1] = height * d1;
  double[2] = height * d2;
  if (degree === 1) return;
  const mean = (radial + h2 * s0) / 3;
  single[3] = m11 - mean;
  single[4] = m12;
  single[5] = m22 - mean;
  double[3] = height * (s0 - k11);
  double[4] = -height * k12;
  double[5] = height * (s0 - k22);
}
