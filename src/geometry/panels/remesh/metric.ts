import type { Vec3 } from '../../shapes/vector.js';

/**
 * Wanted size at a place, as the symmetric matrix (xx, xy, xz, yy, yz, zz) [1/m2] in which an edge of the right length
 * measures 1: diag(1/h^2) for a size h alike in all directions.
 */
export type Metric = readonly [number, number, number, number, number, number];

export const isotropic = (h: number): Metric => {
  const m = 1 / (h * h);
  return [m, 0, 0, m, 0, m];
};

/** Size `across` along one unit direction and `along` in all others [m]. */
export function stretched(direction: Vec3, across: number, along: number): Metric {
  const base = 1 / (along * along);
  const more = 1 / (across * across) - base;
  const [x, y, z] = direction;
  return [
    base + more * x * x,
    more * x * y,
    more * x * z,
    base + more * y * y,
    more * y * z,
    base + more * z * z,
  ];
}

/** Length of a vector under the mean of two metrics. */
export function measure(a: Metric, b: Metric, x: number, y: number, z: number): number {
  const xx = a[0] + b[0];
  const xy = a[1] + b[1];
  const xz = a[2] + b[2];
  const yy = a[3] + b[3];
  const yz = a[4] + b[4];
  const zz = a[5] + b[5];
  return Math.sqrt(
    Math.max(0, (xx * x * x + yy * y * y + zz * z * z) / 2 + xy * x * y + xz * x * z + yz * y * z),
  );
}

/** Cosine of the angle opposite side c in a triangle of sides a, b, c. */
export const opposite = (a: number, b: number, c: number): number =>
  (a * a + b * b - c * c) / Math.max(2 * a * b, 1e-300);
