/**
 * Real solid harmonics and the matrices that shift expansions (docs/theory/fast-operator.md).
 *
 *   1 / |x - y| = sum_k B_k(y) D_k(x)  for |y| < |x|,   D_k(x) = B_k(x / |x|^2) / |x|,
 *
 * B_k the regular harmonics with k = l^2 for m = 0, l^2 + 2m - 1 (cosine) and l^2 + 2m (sine) for m > 0, made from
 * R_lm = r^l P_lm(cos t) e^{im f} / (l + m)! (no Condon-Shortley sign, R_{l,-m} = (-1)^m conj R_lm) times
 * sqrt((l - m)! (l + m)!), and times sqrt 2 for m > 0. All lengths are in units of the side of a box.
 */

export const termCount = (order: number): number => (order + 1) * (order + 1);

const FACTORIAL = Float64Array.from({ length: 64 }, () => 1);
for (let n = 1; n < 64; n++) FACTORIAL[n] = n * FACTORIAL[n - 1];

/** sqrt((l - m)! (l + m)!), with the sqrt 2 of m > 0. */
const norm = (l: number, m: number): number =>
  Math.sqrt(FACTORIAL[l - m] * FACTORIAL[l + m] * (m > 0 ? 2 : 1));

/** Complex values for 0 <= m <= l at index l (l + 1) / 2 + m; negative m follow from the symmetry. */
export interface Solid {
  re: Float64Array;
  im: Float64Array;
}
const index = (l: number, m: number): number => (l * (l + 1)) / 2 + m;

/** R_lm at a point, up to degree `order`. */
export function regularSolid(order: number, x: number, y: number, z: number): Solid {
  const re = new Float64Array(index(order + 1, 0));
  const im = new Float64Array(re.length);
  const r2 = x * x + y * y + z * z;
  re[0] = 1;
  for (let m = 0; m <= order; m++) {
    if (m > 0) {
      const from = index(m - 1, m - 1);
      re[index(m, m)] = (x * re[from] - y * im[from]) / (2 * m);
      im[index(m, m)] = (x * im[from] + y * re[from]) / (2 * m);
    }
    for (let l = m + 1; l <= order; l++) {
      const f = 1 / ((l + m) * (l - m));
      const one = index(l - 1, m);
      const two = l - 2 >= m ? index(l - 2, m) : -1;
      re[index(l, m)] = f * ((2 * l - 1) * z * re[one] - (two < 0 ? 0 : r2 * re[two]));
      im[index(l, m)] = f * ((2 * l - 1) * z * im[one] - (two < 0 ? 0 : r2 * im[two]));
    }
  }
  return { re, im };
}

/** S_lm = (l - m)! P_lm e^{imf} / r^(l+1) at a point: the irregular partners, S_lm = (l - m)! (l + m)! R_lm / r^(2l+1). */
export function irregularSolid(order: number, x: number, y: number, z: number): Solid {
  const solid = regularSolid(order, x, y, z);
  const r2 = x * x + y * y + z * z;
  let power = 1 / Math.sqrt(r2);
  for (let l = 0; l <= order; l++) {
    for (let m = 0; m <= l; m++) {
      const f = FACTORIAL[l - m] * FACTORIAL[l + m] * power;
      solid.re[index(l, m)] *= f;
      solid.im[index(l, m)] *= f;
    }
    power /= r2;
  }
  return solid;
}

/** The real B_k at a point. */
export function regular(order: number, x: number, y: number, z: number): Float64Array {
  const solid = regularSolid(order, x, y, z);
  const out = new Float64Array(termCount(order));
  for (let l = 0; l <= order; l++)
    for (let m = 0; m <= l; m++) {
      const k = m === 0 ? l * l : l * l + 2 * m - 1;
      out[k] = norm(l, m) * solid.re[index(l, m)];
      if (m > 0) out[k + 1] = norm(l, m) * solid.im[index(l, m)];
    }
  return out;
}

/** Visits (l, m) with m >= 0; `k` is the number of the cosine (or only) term. */
function eachDegree(order: number, visit: (l: number, m: number, k: number) => void): void {
  for (let l = 0; l <= order; l++)
    for (let m = 0; m <= l; m++) visit(l, m, m === 0 ? l * l : l * l + 2 * m - 1);
}

/**
 * Both shift rules are sums over (l, m) and (l, -m) of complex products; with R = a + ib of the order m > 0 they read
 * a (P + Q) + i b (P - Q) or its conjugate, and a P for m = 0. `Full` holds all orders of a solid side by side, so that
 * P and Q are two look-ups: value of (l, m) at l (2 order + 1) + order + m, zero where |m| > l.
 */
interface Full extends Solid {
  row: number;
  middle: number;
}

function allOrders(solid: Solid, order: number): Full {
  const row = 2 * order + 1;
  const re = new Float64Array(row * (order + 1));
  const im = new Float64Array(row * (order + 1));
  for (let l = 0; l <= order; l++)
    for (let m = 0; m <= l; m++) {
      const from = index(l, m);
      const plus = l * row + order + m;
      const minus = l * row + order - m;
      const sign = m % 2 === 0 ? 1 : -1;
      re[minus] = sign * solid.re[from];
      im[minus] = -sign * solid.im[from];
      re[plus] = solid.re[from];
      im[plus] = solid.im[from];
    }
  return { re, im, row, middle: order };
}

/** norm(l, m) by number of the cosine term of (l, m), and 0 at sine terms. */
function norms(order: number): Float64Array {
  const out = new Float64Array(termCount(order));
  eachDegree(order, (l, m, k) => {
    out[k] = norm(l, m);
  });
  return out;
}

/**
 * T with D_j(t + d) = sum_k T_kj B_k(t) for |t| < |d|; row-major [terms][terms], row k.
 * From S_jn(t + d) = sum_lm (-1)^l conj(R_lm(t)) S_{j+l,n+m}(d).
 */
export function transferMatrix(order: number, x: number, y: number, z: number): Float64Array {
  const size = termCount(order);
  const matrix = new Float64Array(size * size);
  const { re, im, row, middle } = allOrders(irregularSolid(2 * order, x, y, z), 2 * order);
  const scale = norms(order);
  for (let l = 0; l <= order; l++)
    for (let m = 0; m <= l; m++) {
      const k = m === 0 ? l * l : l * l + 2 * m - 1;
      const sign = m % 2 === 0 ? 1 : -1;
      for (let j = 0; j <= order; j++)
        for (let n = 0; n <= j; n++) {
          const column = n === 0 ? j * j : j * j + 2 * n - 1;
          const f = ((l % 2 === 0 ? 1 : -1) * (n > 0 ? 2 : 1)) / (scale[k] * scale[column]);
          const p = (j + l) * row + middle + n + m;
          const at = k * size + column;
          if (m === 0) {
            matrix[at] = f * re[p];
            if (n > 0) matrix[at + 1] = f * im[p];
            continue;
          }
          // conj R P + (-1)^m R Q = a (P + Q') - i b (P - Q'), Q' = (-1)^m Q.
          const q = p - 2 * m;
          const qre = sign * re[q];
          const qim = sign * im[q];
          matrix[at] = f * (re[p] + qre);
          matrix[at + size] = f * (im[p] - qim);
          if (n > 0) {
            matrix[at + 1] = f * (im[p] + qim);
            matrix[at + size + 1] = f * (qre - re[p]);
          }
        }
    }
  return matrix;
}

/**
 * E with B_k(a + b) = sum_j E_kj(b) B_j(a); row-major, row k.
 * From R_ln(a + b) = sum_jm R_jm(a) R_{l-j,n-m}(b).
 */
export function shiftMatrix(order: number, x: number, y: number, z: number): Float64Array {
  const size = termCount(order);
  const matrix = new Float64Array(size * size);
  const { re, im, row, middle } = allOrders(regularSolid(order, x, y, z), order);
  const scale = norms(order);
  const value = (part: Float64Array, l: number, m: number): number =>
    Math.abs(m) > l ? 0 : part[l * row + middle + m];
  eachDegree(order, (l, n, k) =>
    eachDegree(l, (j, m, column) => {
      const f = scale[k] / scale[column];
      const at = k * size + column;
      const [pre, pim] = [value(re, l - j, n - m), value(im, l - j, n - m)];
      if (m === 0) {
        matrix[at] = f * pre;
        if (n > 0) matrix[at + size] = f * pim;
        return;
      }
      // R P + (-1)^m conj R Q = a (P + Q') + i b (P - Q'), Q' = (-1)^m Q.
      const sign = m % 2 === 0 ? 1 : -1;
      const [qre, qim] = [sign * value(re, l - j, n + m), sign * value(im, l - j, n + m)];
      matrix[at] = f * (pre + qre);
      matrix[at + 1] = f * (qim - pim);
      if (n > 0) {
        matrix[at + size] = f * (pim + qim);
        matrix[at + size + 1] = f * (pre - qre);
      }
    }),
  );
  return matrix;
}

/** Sparse rule: derivative of function `of` along an axis = sum of factor times function `from`. */
export interface Rule {
  of: number;
  from: number;
  factor: number;
}

/**
 * Derivatives along x, y, z of the regular (`falling`) or irregular (`rising`) harmonics, degree by degree:
 *   regular:   d/dx R_lm = (R_{l-1,m-1} - R_{l-1,m+1}) / 2,   d/dy = i (R_{l-1,m-1} + R_{l-1,m+1}) / 2,  d/dz = R_{l-1,m}
 *   irregular: d/dx S_lm = (S_{l+1,m-1} - S_{l+1,m+1}) / 2,   d/dy = i (S_{l+1,m-1} + S_{l+1,m+1}) / 2,  d/dz = -S_{l+1,m}
 */
export function derivativeRules(order: number, kind: 'falling' | 'rising'): [Rule[], Rule[], Rule[]] {
  const rules: [Rule[], Rule[], Rule[]] = [[], [], []];
  const falling = kind === 'falling';
  eachDegree(order, (l, m, k) => {
    const degree = falling ? l - 1 : l + 1;
    /** Adds (fre + i fim) times the function (degree, order n) to the derivative along `axis`. */
    const add = (axis: number, n: number, fre: number, fim: number): void => {
      const a = Math.abs(n);
      if (degree < 0 || a > degree) return;
      const flip = n < 0 && a % 2 === 1 ? -1 : 1;
      const conjugate = n < 0 ? -1 : 1;
      const j = a === 0 ? degree * degree : degree * degree + 2 * a - 1;
      // B = norm R and D = 2 S / norm for m > 0 (S / norm for m = 0): the ratio of the two norms scales the rule.
      const scale = falling
        ? norm(l, m) / norm(degree, a)
        : (((m > 0 ? 2 : 1) / (a > 0 ? 2 : 1)) * norm(degree, a)) / norm(l, m);
      const f = flip * scale;
      const push = (of: number, from: number, factor: number): void => {
        if (factor !== 0) rules[axis].push({ of, from, factor });
      };
      // (fre + i fim)(c + i s'), s' = conjugate s: real part fre c - fim s', imaginary part fre s' + fim c.
      push(k, j, f * fre);
      if (a > 0) push(k, j + 1, -f * fim * conjugate);
      if (m > 0) {
        push(k + 1, j, f * fim);
        if (a > 0) push(k + 1, j + 1, f * fre * conjugate);
      }
    };
    add(0, m - 1, 0.5, 0);
    add(0, m + 1, -0.5, 0);
    add(1, m - 1, 0, 0.5);
    add(1, m + 1, 0, 0.5);
    add(2, m, falling ? 1 : -1, 0);
  });
  return rules;
}

/** Sign of each coefficient under mirroring in x (bit 0), y (bit 1), z (bit 2) of `flips`. */
export function mirrorSigns(order: number, flips: number): Float64Array {
  const signs = new Float64Array(termCount(order));
  eachDegree(order, (l, m, k) => {
    const even = (n: number): number => (n % 2 === 0 ? 1 : -1);
    let cosine = 1;
    let sine = 1;
    if (flips & 1) {
      cosine *= even(m);
      sine *= even(m + 1);
    }
    if (flips & 2) sine = -sine;
    if (flips & 4) {
      cosine *= even(l + m);
      sine *= even(l + m);
    }
    signs[k] = cosine;
    if (m > 0) signs[k + 1] = sine;
  });
  return signs;
}

/** Factors of the recurrence in the kernels: pairs at [m][l], `width` l's a row. */
export function recurrenceFactors(order: number, width: number): Float64Array {
  const out = new Float64Array(width * width * 2);
  for (let m = 0; m <= order; m++)
    for (let l = m; l <= order; l++) {
      const at = 2 * (m * width + l);
      if (l === m) out[at] = m < 2 ? 1 : Math.sqrt((2 * m - 1) / (2 * m));
      else {
        const s = l * l - m * m;
        out[at] = (2 * l - 1) / Math.sqrt(s);
        out[at + 1] = Math.sqrt(((l - 1) * (l - 1) - m * m) / s);
      }
    }
  return out;
}
