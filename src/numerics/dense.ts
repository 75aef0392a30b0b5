/** Small dense linear systems: LU with row pivoting, in place, row-major. */

export interface LuFactors {
  n: number;
  /** Unit lower and upper factor, row-major. */
  lu: Float64Array;
  pivot: Int32Array;
}

/**
 * Factors the n x n row-major matrix in place. A pivot that vanishes is replaced by a tiny number of the scale of the
 * matrix, so that a singular block still gives a usable (if poor) preconditioner; `null` when an entry is not finite.
 */
export function factorLu(a: Float64Array, n: number): LuFactors | null {
  const pivot = new Int32Array(n);
  let scale = 0;
  for (let i = 0; i < n * n; i++) scale = Math.max(scale, Math.abs(a[i]));
  if (!Number.isFinite(scale)) return null;
  for (let k = 0; k < n; k++) {
    let best = k;
    for (let i = k + 1; i < n; i++) if (Math.abs(a[i * n + k]) > Math.abs(a[best * n + k])) best = i;
    pivot[k] = best;
    if (best !== k)
      for (let j = 0; j < n; j++) {
        const swap = a[k * n + j];
        a[k * n + j] = a[best * n + j];
        a[best * n + j] = swap;
      }
    if (Math.abs(a[k * n + k]) < 1e-14 * scale) a[k * n + k] = 1e-14 * (scale || 1);
    const inverse = 1 / a[k * n + k];
    const end = k * n + n;
    for (let i = k + 1; i < n; i++) {
      const first = i * n + k;
      const factor = a[first] * inverse;
      a[first] = factor;
      if (factor !== 0)
        for (let top = k * n + k + 1, at = first + 1; top < end; top++, at++) a[at] -= factor * a[top];
    }
  }
  return { n, lu: a, pivot };
}

/** Solves in place for the n numbers of `b` that start at `offset`. */
export function solveLu({ n, lu, pivot }: LuFactors, b: Float64Array, offset = 0): void {
  for (let k = 0; k < n; k++) {
    const p = pivot[k];
    if (p !== k) {
      const swap = b[offset + k];
      b[offset + k] = b[offset + p];
      b[offset + p] = swap;
    }
  }
  for (let i = 1; i < n; i++) b[offset + i] -= product(lu, i * n, b, offset, i);
  for (let i = n - 1; i >= 0; i--) {
    const right = i + 1;
    b[offset + i] =
      (b[offset + i] - product(lu, i * n + right, b, offset + right, n - right)) / lu[i * n + i];
  }
}

/** Sum of a[at + k] b[from + k], four sums side by side: one alone would wait for each of its additions. */
function product(a: Float64Array, at: number, b: Float64Array, from: number, count: number): number {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let k = 0;
  for (; k + 3 < count; k += 4) {
    s0 += a[at + k] * b[from + k];
    s1 += a[at + k + 1] * b[from + k + 1];
    s2 += a[at + k + 2] * b[from + k + 2];
    s3 += a[at + k + 3] * b[from + k + 3];
  }
  for (; k < count; k++) s0 += a[at + k] * b[from + k];
  return s0 + s1 + (s2 + s3);
}
