import type { NearMaker } from './near.js';

/**
 * The sum every solve turns on: potentials at N points from charges and dipoles at the same points,
 *
 *   u_i = sum_{j != i} [ charge_j G(x_i, x_j) + dipole_j n_j . grad_y G(x_i, y)|_{y = x_j} ],   G = 1 / (4 pi r),
 *
 * with, when there is a mirror plane, the same sum seen from the mirrored point x_i' (there j = i counts too).
 * Points stay, charges and dipoles change with every step of the iteration. What panels are near a point is corrected
 * elsewhere (near.ts), so an operator knows nothing about panels. `plainOperator` is the slow path of record.
 */

/** Fixed points, sorted by body: body b owns the points [bodyStart[b], bodyStart[b + 1]). */
export interface PointCloud {
  count: number;
  /** xyz [m]. */
  position: Float64Array;
  /** Unit normals, xyz. */
  normal: Float64Array;
  bodyStart: Int32Array;
  /** Height z [m] of an insulating mirror plane. */
  mirrorHeight?: number;
}

export interface PotentialOperator {
  readonly cloud: PointCloud;
  /**
   * Writes the N sums into `out`. `charge` in [V m], `dipole` in [V m2], `out` in [V]. `dipole` null means none.
   * Must not allocate anything that grows with N after the first call.
   */
  apply(charge: Float64Array, dipole: Float64Array | null, out: Float64Array): void;
  /**
   * The same sum at other points (xyz after xyz; no point is left out), and its gradient with respect to the point
   * [V/m], three numbers a point, where `gradient` is given.
   */
  evaluate(
    points: Float64Array,
    charge: Float64Array,
    dipole: Float64Array | null,
    potential: Float64Array,
    gradient?: Float64Array,
  ): void;
  /**
   * The operator for a cloud that differs from this one only in the bodies listed (moved, or with other points);
   * whatever belongs to the others alone is taken over. This operator must not be used afterwards.
   */
  rebuilt?(cloud: PointCloud, changed: readonly number[]): PotentialOperator;
  /** Gives back threads and large buffers. */
  release?(): void;
}

export interface OperatorOptions {
  /** Wanted error of a sum relative to the sum of magnitudes; default 1e-6. */
  tolerance?: number;
}

/** How the solver gets its operator; `src/field/fast` supplies one that picks by size. */
export interface OperatorMaker {
  (cloud: PointCloud, options?: OperatorOptions): PotentialOperator;
  /** How near corrections are computed and used; in plain TypeScript where this is left out. */
  readonly near?: NearMaker;
}

const INV_4PI = 1 / (4 * Math.PI);

/** Direct summation in double precision: O(N^2), no memory. Tests compare the fast operators against it. */
export const plainOperator: OperatorMaker = (cloud) => ({
  cloud,
  apply(charge, dipole, out) {
    sum(cloud, cloud.position, charge, dipole, out, undefined, true);
  },
  evaluate(points, charge, dipole, potential, gradient) {
    sum(cloud, points, charge, dipole, potential, gradient, false);
  },
});

/** `own`: the points are the cloud itself, so the term j = i of the direct (not the mirrored) sum is left out. */
function sum(
  cloud: PointCloud,
  points: Float64Array,
  charge: Float64Array,
  dipole: Float64Array | null,
  potential: Float64Array,
  gradient: Float64Array | undefined,
  own: boolean,
): void {
  const term = new Float64Array(4);
  const { mirrorHeight } = cloud;
  for (let i = 0; i < points.length / 3; i++) {
    const x = points[3 * i];
    const y = points[3 * i + 1];
    const z = points[3 * i + 2];
    term.fill(0);
    addSums(cloud, x, y, z, own ? i : -1, 1, charge, dipole, term);
    if (mirrorHeight !== undefined) addSums(cloud, x, y, 2 * mirrorHeight - z, -1, -1, charge, dipole, term);
    potential[i] = term[0] * INV_4PI;
    if (gradient) for (let k = 0; k < 3; k++) gradient[3 * i + k] = term[k + 1] * INV_4PI;
  }
}

/** Adds 4 pi times potential and gradient at (x, y, z); `flip` = -1 turns the z part of a mirrored gradient. */
function addSums(
  cloud: PointCloud,
  x: number,
  y: number,
  z: number,
  skip: number,
  flip: number,
  charge: Float64Array,
  dipole: Float64Array | null,
  term: Float64Array,
): void {
  const { count, position, normal } = cloud;
  for (let j = 0; j < count; j++) {
    if (j === skip) continue;
    const dx = x - position[3 * j];
    const dy = y - position[3 * j + 1];
    const dz = z - position[3 * j + 2];
    const inv2 = 1 / (dx * dx + dy * dy + dz * dz);
    const inv = Math.sqrt(inv2);
    const inv3 = inv * inv2;
    const q = charge[j];
    term[0] += q * inv;
    let c = -q * inv3;
    if (dipole) {
      const d = dipole[j];
      const nx = normal[3 * j];
      const ny = normal[3 * j + 1];
      const nz = normal[3 * j + 2];
      const along = d * (nx * dx + ny * dy + nz * dz);
      term[0] += along * inv3;
      c -= 3 * along * inv3 * inv2;
      const s = d * inv3;
      term[1] += s * nx;
      term[2] += s * ny;
      term[3] += flip * s * nz;
    }
    term[1] += c * dx;
    term[2] += c * dy;
    term[3] += flip * c * dz;
  }
}
