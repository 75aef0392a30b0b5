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
    const top = a.subarray(k * n, k * n + n);
    for (let i = k + 1; i < n; i++) {
      const row = a.subarray(i * n, i * n + n);
      const factor = row[k] * inverse;
      row[k] = factor;
      if (factor !== 0) for (let j = k + 1; j < n; j++) row[j] -= factor * top[j];
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
  for (let i = 1; i < n; i++) {
    let sum = b[offset + i];
    for (let j = 0, at = i * n; j < i; j++, at++) sum -= lu[at] * b[offset + j];
    b[offset + i] = sum;
  }
  for (let i = n - 1; i >= 0; i--) {
    let sum = b[offset + i];
    for (let j = i + 1, at = i * n + i + 1; j < n; j++, at++) sum -= lu[at] * b[offset + j];
    b[offset + i] = sum / lu[i * n + i];
  }
}
