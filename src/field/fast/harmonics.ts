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
 * Writes the four entries (rows k, k+1; columns j, j+1) of a real matrix that stands for
 *   value_jm' = sum over (l, +-m) of P conj-or-not R: given the complex factors A of Re R_lm and B of Im R_lm.
 */
function place(
  matrix: Float64Array,
  size: number,
  row: number,
  rowIsPair: boolean,
  column: number,
  columnIsPair: boolean,
  factor: number,
  are: number,
  aim: number,
  bre: number,
  bim: number,
): void {
  matrix[row * size + column] = factor * are;
  if (columnIsPair) matrix[row * size + column + 1] = factor * aim;
  if (rowIsPair) matrix[(row + 1) * size + column] = factor * bre;
  if (rowIsPair && columnIsPair) matrix[(row + 1) * size + column + 1] = factor * bim;
}

/**
 * T with D_j(t + d) = sum_k T_kj B_k(t) for |t| < |d|; row-major [terms][terms], row k.
 * From S_jn(t + d) = sum_lm (-1)^l conj(R_lm(t)) S_{j+l,n+m}(d).
 */
export function transferMatrix(order: number, x: number, y: number, z: number): Float64Array {
  const size = termCount(order);
  const matrix = new Float64Array(size * size);
  const { re, im } = irregularSolid(2 * order, x, y, z);
  eachDegree(order, (l, m, row) =>
    eachDegree(order, (j, n, column) => {
      const degree = j + l;
      const p = index(degree, n + m);
      let are = re[p];
      let aim = im[p];
      let bre = 0;
      let bim = 0;
      if (m > 0) {
        // Q = (-1)^m S_{degree, n - m}; the sum of both signs of m is Re R (P + Q) + i Im R (Q - P).
        const sign = m % 2 === 0 ? 1 : -1;
        const q = index(degree, Math.abs(n - m));
        const flip = n - m < 0 ? ((m - n) % 2 === 0 ? 1 : -1) : 1;
        const qre = sign * flip * re[q];
        const qim = sign * flip * (n - m < 0 ? -im[q] : im[q]);
        bre = -(qim - aim);
        bim = qre - are;
        are += qre;
        aim += qim;
      }
      const scale = n > 0 ? 2 : 1;
      const factor = ((l % 2 === 0 ? 1 : -1) * scale) / (norm(l, m) * norm(j, n));
      place(matrix, size, row, m > 0, column, n > 0, factor, are, aim, bre, bim);
    }),
  );
  return matrix;
}

/**
 * E with B_k(a + b) = sum_j E_kj(b) B_j(a); row-major, row k.
 * From R_ln(a + b) = sum_jm R_jm(a) R_{l-j,n-m}(b).
 */
export function shiftMatrix(order: number, x: number, y: number, z: number): Float64Array {
  const size = termCount(order);
  const transposed = new Float64Array(size * size);
  const { re, im } = regularSolid(order, x, y, z);
  const at = (l: number, m: number): [number, number] => {
    if (l < 0 || Math.abs(m) > l) return [0, 0];
    const i = index(l, Math.abs(m));
    if (m >= 0) return [re[i], im[i]];
    return m % 2 === 0 ? [re[i], -im[i]] : [-re[i], im[i]];
  };
  eachDegree(order, (j, m, row) =>
    eachDegree(order, (l, n, column) => {
      let [are, aim] = at(l - j, n - m);
      let bre = 0;
      let bim = 0;
      if (m > 0) {
        // R_{j,-m} = (-1)^m conj R_jm: Re R (P + Q) + i Im R (P - Q).
        const sign = m % 2 === 0 ? 1 : -1;
        const [pre, pim] = [are, aim];
        const [qre, qim] = at(l - j, n + m);
        are = pre + sign * qre;
        aim = pim + sign * qim;
        bre = -(pim - sign * qim);
        bim = pre - sign * qre;
      }
      place(transposed, size, row, m > 0, column, n > 0, norm(l, n) / norm(j, m), are, aim, bre, bim);
    }),
  );
  const matrix = new Float64Array(size * size);
  for (let k = 0; k < size; k++)
    for (let j = 0; j < size; j++) matrix[k * size + j] = transposed[j * size + k];
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
