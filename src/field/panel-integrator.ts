import { basisOf } from './basis.js';
import { DIRECT, MIRRORED } from './near-list.js';
import type { Discretisation } from './nodes.js';
import { ownPanel } from './own-panel.js';
import { PlanePanel } from './plane-panel.js';
import { Subdivision } from './subdivision.js';

const INV_4PI = 1 / (4 * Math.PI);

/** Integrates one panel for many observers. Results are per node of the panel: acting on q and on phi. */
export class PanelIntegrator {
  readonly single = new Float64Array(6);
  readonly double = new Float64Array(6);
  private readonly monomials = new Float64Array(12);
  private readonly pieces: Subdivision;
  private readonly plane = new PlanePanel();
  private p = -1;

  constructor(private readonly d: Discretisation) {
    this.pieces = new Subdivision(d.panels);
  }

  begin(p: number): void {
    this.p = p;
    if (this.d.panels.flat[p]) this.plane.begin(this.d, p);
    else this.pieces.begin(p, this.d.perPanel[p] < 6);
  }

  /** Exact integral less the sum over the panel's points, for node i as observer. */
  correction(i: number, how: number): void {
    const { nodes } = this.d;
    const { position } = nodes;
    this.single.fill(0);
    this.double.fill(0);
    const x = position[3 * i];
    const y = position[3 * i + 1];
    const z = position[3 * i + 2];
    if (how & DIRECT) {
      this.addIntegral(x, y, z, nodes.panel[i] === this.p ? i - nodes.start[this.p] : -1);
      this.subtractPoints(x, y, z, i);
    }
    if (how & MIRRORED) {
      const mirrored = 2 * nodes.mirrorHeight! - z;
      this.addIntegral(x, y, mirrored, -1);
      this.subtractPoints(x, y, mirrored, -1);
    }
  }

  /** Integral less points for any observer off the surface (a probe). */
  correctionAt(x: number, y: number, z: number): void {
    this.single.fill(0);
    this.double.fill(0);
    this.addIntegral(x, y, z, -1);
    this.subtractPoints(x, y, z, -1);
  }

  /** Adds the exact integrals; `own` is the number of the observer among the panel's own nodes, or -1. */
  addIntegral(x: number, y: number, z: number, own: number): void {
    const { d, p } = this;
    const count = d.perPanel[p] as 1 | 3 | 6;
    const faces = d.sheet[p] ? 2 : 1;
    if (d.panels.flat[p]) {
      this.plane.add(x, y, z, own >= 0, faces, this.single, this.double);
      return;
    }
    const basis = basisOf(count);
    const m = this.monomials;
    if (own >= 0) ownPanel(d.panels, p, basis.rule.s[own], basis.rule.t[own], m);
    else {
      m.fill(0);
      this.pieces.integrate(x, y, z, m);
    }
    const sign = faces === 2 ? 0 : d.sign[p] * INV_4PI;
    for (let k = 0; k < count; k++) {
      let g = 0;
      let h = 0;
      for (let j = 0; j < count; j++) {
        g += basis.coef[6 * k + j] * m[j];
        h += basis.coef[6 * k + j] * m[6 + j];
      }
      this.single[k] += g * INV_4PI * faces;
      this.double[k] += h * sign;
    }
  }

  private subtractPoints(x: number, y: number, z: number, skip: number): void {
    const { nodes, perPanel, sheet } = this.d;
    const dipoles = sheet[this.p] ? 0 : 1;
    const { position, normal, weight, start } = nodes;
    for (let k = 0; k < perPanel[this.p]; k++) {
      const j = start[this.p] + k;
      if (j === skip) continue;
      const dx = x - position[3 * j];
      const dy = y - position[3 * j + 1];
      const dz = z - position[3 * j + 2];
      const r2 = dx * dx + dy * dy + dz * dz;
      // Points that coincide do not act on each other in the sums either.
      if (r2 === 0) continue;
      const inv2 = 1 / r2;
      const inv = Math.sqrt(inv2) * weight[j] * INV_4PI;
      this.single[k] -= inv;
      this.double[k] -=
        dipoles * inv * inv2 * (normal[3 * j] * dx + normal[3 * j + 1] * dy + normal[3 * j + 2] * dz);
    }
  }
}
