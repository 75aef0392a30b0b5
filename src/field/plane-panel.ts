import { basisOf } from './basis.js';
import { type FlatMoments, flatMoments, newMoments } from './flat.js';
import type { Discretisation } from './nodes.js';
import { evaluatePanel } from './panels.js';

const INV_4PI = 1 / (4 * Math.PI);

/** A plane panel with its own axes, for the closed forms. */
export class PlanePanel {
  private readonly e1 = new Float64Array(3);
  private readonly e2 = new Float64Array(3);
  private readonly n = new Float64Array(3);
  private readonly a = new Float64Array(3);
  private readonly corner = new Float64Array(6);
  private readonly shifted = new Float64Array(6);
  private readonly moments: FlatMoments = newMoments();
  /** In-plane gradient of s and t. */
  private readonly slope = new Float64Array(4);
  private basis = basisOf(1);
  private sign = 1;

  begin(d: Discretisation, p: number): void {
    const { coef } = d.panels;
    const c = 18 * p;
    const point = new Float64Array(6);
    evaluatePanel(coef, p, 0, 0, point, 0);
    const area = Math.hypot(point[3], point[4], point[5]);
    const l1 = Math.hypot(coef[c + 3], coef[c + 4], coef[c + 5]);
    for (let k = 0; k < 3; k++) {
      this.a[k] = point[k];
      this.n[k] = point[3 + k] / area;
      this.e1[k] = coef[c + 3 + k] / l1;
    }
    const { n, e1, e2 } = this;
    e2[0] = n[1] * e1[2] - n[2] * e1[1];
    e2[1] = n[2] * e1[0] - n[0] * e1[2];
    e2[2] = n[0] * e1[1] - n[1] * e1[0];
    let c1 = 0;
    let c2 = 0;
    for (let k = 0; k < 3; k++) {
      c1 += coef[c + 6 + k] * e1[k];
      c2 += coef[c + 6 + k] * e2[k];
    }
    this.corner.set([0, 0, l1, 0, c1, c2]);
    // Plane coordinates are (l1 s + c1 t, c2 t).
    this.slope.set([1 / l1, -c1 / (l1 * c2), 0, 1 / c2]);
    this.basis = basisOf(d.perPanel[p] as 1 | 3 | 6);
    this.sign = d.sign[p];
  }

  add(
    x: number,
    y: number,
    z: number,
    inPlane: boolean,
    faces: 1 | 2,
    single: Float64Array,
    double: Float64Array,
  ): void {
    const { a, e1, e2, n, corner, shifted, moments, slope, basis } = this;
    const rx = x - a[0];
    const ry = y - a[1];
    const rz = z - a[2];
    const u = rx * e1[0] + ry * e1[1] + rz * e1[2];
    const v = rx * e2[0] + ry * e2[1] + rz * e2[2];
    const height = inPlane ? 0 : rx * n[0] + ry * n[1] + rz * n[2];
    for (let k = 0; k < 3; k++) {
      shifted[2 * k] = corner[2 * k] - u;
      shifted[2 * k + 1] = corner[2 * k + 1] - v;
    }
    const degree = basis.nodes === 1 ? 0 : basis.nodes === 3 ? 1 : 2;
    flatMoments(shifted, height, degree, moments);
    const s = slope[0] * u + slope[1] * v;
    const t = slope[3] * v;
    const S = moments.single;
    const D = moments.double;
    for (let k = 0; k < basis.nodes; k++) {
      const c = 6 * k;
      const f = basis.coef;
      const value = f[c] + s * (f[c + 1] + s * f[c + 3] + t * f[c + 4]) + t * (f[c + 2] + t * f[c + 5]);
      let g = value * S[0];
      let h = value * D[0];
      if (degree > 0) {
        const fs = f[c + 1] + 2 * s * f[c + 3] + t * f[c + 4];
        const ft = f[c + 2] + s * f[c + 4] + 2 * t * f[c + 5];
        const g1 = fs * slope[0];
        const g2 = fs * slope[1] + ft * slope[3];
        g += g1 * S[1] + g2 * S[2];
        h += g1 * D[1] + g2 * D[2];
        if (degree > 1) {
          const q11 = f[c + 3] * slope[0] * slope[0];
          const q12 = 2 * f[c + 3] * slope[0] * slope[1] + f[c + 4] * slope[0] * slope[3];
          const q22 =
            f[c + 3] * slope[1] * slope[1] + f[c + 4] * slope[1] * slope[3] + f[c + 5] * slope[3] * slope[3];
          g += q11 * S[3] + q12 * S[4] + q22 * S[5];
          h += q11 * D[3] + q12 * D[4] + q22 * D[5];
        }
      }
      single[k] += g * INV_4PI * faces;
      if (faces === 1) double[k] += h * INV_4PI * this.sign;
    }
  }
}
