/** Iterative solution of large linear systems that are known only by their action. */

export interface GmresResult {
  /** Applications of the matrix. */
  steps: number;
  /** |b - A x| / |b|, as the recurrence sees it. */
  residual: number;
  status: 'converged' | 'stalled' | 'cancelled';
}

export interface GmresOptions {
  /** Relative to |b|. */
  tolerance: number;
  maxSteps: number;
  cancelled?(): boolean;
}

/**
 * GMRES without restart (Saad and Schultz, SIAM J. Sci. Stat. Comput. 7 (1986) 856), preconditioned from the right, so
 * that the residual it minimises is the true one. Adds the solution of A d = b to nothing: `x` is overwritten.
 */
export function gmres(
  n: number,
  matrix: (x: Float64Array, out: Float64Array) => void,
  precondition: (r: Float64Array, out: Float64Array) => void,
  b: Float64Array,
  x: Float64Array,
  options: GmresOptions,
): GmresResult {
  x.fill(0);
  const beta = norm(b);
  if (beta === 0) return { steps: 0, residual: 0, status: 'converged' };
  const basis: Float64Array[] = [scaled(b, 1 / beta)];
  const columns: Float64Array[] = [];
  const cosines: number[] = [];
  const sines: number[] = [];
  const rhs: number[] = [beta];
  const z = new Float64Array(n);
  let status: GmresResult['status'] = 'stalled';
  let k = 0;
  while (k < options.maxSteps) {
    if (options.cancelled?.()) {
      status = 'cancelled';
      break;
    }
    precondition(basis[k], z);
    const w = new Float64Array(n);
    matrix(z, w);
    const h = orthogonalise(w, basis);
    for (let i = 0; i < k; i++) {
      const upper = cosines[i] * h[i] + sines[i] * h[i + 1];
      h[i + 1] = -sines[i] * h[i] + cosines[i] * h[i + 1];
      h[i] = upper;
    }
    const length = h[k + 1];
    const size = Math.hypot(h[k], length);
    if (!Number.isFinite(size) || size === 0) break;
    cosines.push(h[k] / size);
    sines.push(length / size);
    h[k] = size;
    rhs.push(-sines[k] * rhs[k]);
    rhs[k] *= cosines[k];
    columns.push(h);
    k++;
    if (Math.abs(rhs[k]) <= options.tolerance * beta || length === 0) {
      status = 'converged';
      break;
    }
    for (let i = 0; i < n; i++) w[i] /= length;
    basis.push(w);
  }
  combine(columns, rhs, basis, k, z);
  precondition(z, x);
  return { steps: k, residual: Math.abs(rhs[k]) / beta, status };
}

/**
 * Modified Gram-Schmidt, with a second pass where the first took most of the vector away and left it inexact (Daniel,
 * Gragg, Kaufman, Stewart, Math. Comput. 30 (1976) 772): returns the new column of the Hessenberg matrix.
 */
function orthogonalise(w: Float64Array, basis: Float64Array[]): Float64Array {
  const h = new Float64Array(basis.length + 1);
  let before = norm(w);
  for (let pass = 0; pass < 2; pass++) {
    for (let j = 0; j < basis.length; j++) {
      const v = basis[j];
      const c = dot(w, v);
      h[j] += c;
      for (let i = 0; i < w.length; i++) w[i] -= c * v[i];
    }
    const after = norm(w);
    h[basis.length] = after;
    if (after > 0.3 * before) break;
    before = after;
  }
  return h;
}

/** Back substitution, then the sum of basis vectors. */
function combine(
  columns: Float64Array[],
  rhs: number[],
  basis: Float64Array[],
  k: number,
  out: Float64Array,
): void {
  const y = new Float64Array(k);
  for (let i = k - 1; i >= 0; i--) {
    let sum = rhs[i];
    for (let j = i + 1; j < k; j++) sum -= columns[j][i] * y[j];
    y[i] = sum / columns[i][i];
  }
  out.fill(0);
  for (let j = 0; j < k; j++) for (let i = 0; i < out.length; i++) out[i] += y[j] * basis[j][i];
}

/** Four sums side by side: one alone would wait for each of its additions. */
function dot(a: Float64Array, b: Float64Array): number {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let i = 0;
  for (; i + 3 < a.length; i += 4) {
    s0 += a[i] * b[i];
    s1 += a[i + 1] * b[i + 1];
    s2 += a[i + 2] * b[i + 2];
    s3 += a[i + 3] * b[i + 3];
  }
  for (; i < a.length; i++) s0 += a[i] * b[i];
  return s0 + s1 + (s2 + s3);
}

function norm(a: Float64Array): number {
  return Math.sqrt(dot(a, a));
}

function scaled(a: Float64Array, factor: number): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) out[i] = a[i] * factor;
  return out;
}
