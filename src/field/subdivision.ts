import { triangleRule } from '../numerics/index.js';
import { evaluatePanel, type Panels } from './panels.js';

/** Rule on a piece, and how far (in radii of the piece) an observer must be for it. near.test.ts measures the error. */
const RULE = triangleRule(6);
const POINTS = RULE.s.length;
const CLEAR = 1.5;
const DEEPEST = 40;
/** Numbers kept a quadrature point: xyz, weighted area vector xyz, weighted area, s, t. */
const STRIDE = 9;

/**
 * Integrals over a curved panel seen from a near point outside it. The panel is bisected (longest side first, so that
 * stretched panels become compact ones) until each piece is far enough for its rule. Pieces and their points are kept
 * for the next observer of the same panel, so an observer costs little more than its kernels.
 */
export class Subdivision {
  private pieces = 0;
  private filled = 0;
  private corner = new Float64Array(6 * 64);
  private centre = new Float64Array(4 * 64);
  private child = new Int32Array(64);
  private points = new Int32Array(64);
  private depth = new Uint8Array(64);
  private data = new Float64Array(STRIDE * POINTS * 64);
  private point = new Float64Array(6);
  private stack = new Int32Array(4 * DEEPEST);
  private p = 0;
  private linear = false;

  constructor(private readonly panels: Panels) {}

  /**
   * Starts on panel p; everything kept from another panel is dropped.
   * @param linear only the moments of 1, s and t are wanted; the others are left as they are
   */
  begin(p: number, linear = false): void {
    this.p = p;
    this.linear = linear;
    this.pieces = 0;
    this.filled = 0;
    this.addPiece(0, 0, 1, 0, 0, 1, 0);
  }

  /**
   * Adds to `monomials` the integrals of (1, s, t, s^2, s t, t^2) / R and of the same times N.(x - y) / R^3, with N the
   * panel's own area vector: 12 numbers.
   */
  integrate(x: number, y: number, z: number, monomials: Float64Array): void {
    let top = 0;
    this.stack[top++] = 0;
    while (top > 0) {
      const piece = this.stack[--top];
      const c = 4 * piece;
      const dx = x - this.centre[c];
      const dy = y - this.centre[c + 1];
      const dz = z - this.centre[c + 2];
      const clear = CLEAR * this.centre[c + 3];
      if (dx * dx + dy * dy + dz * dz > clear * clear || this.depth[piece] >= DEEPEST) {
        if (this.points[piece] < 0) this.fill(piece);
        if (this.linear) this.gatherLinear(this.points[piece], x, y, z, monomials);
        else this.gather(this.points[piece], x, y, z, monomials);
        continue;
      }
      if (this.child[piece] < 0) this.split(piece);
      const first = this.child[piece];
      this.stack[top++] = first;
      this.stack[top++] = first + 1;
    }
  }

  private gatherLinear(start: number, x: number, y: number, z: number, m: Float64Array): void {
    const { data } = this;
    let g0 = 0;
    let g1 = 0;
    let g2 = 0;
    let h0 = 0;
    let h1 = 0;
    let h2 = 0;
    for (let k = 0, at = start; k < POINTS; k++, at += STRIDE) {
      const dx = x - data[at];
      const dy = y - data[at + 1];
      const dz = z - data[at + 2];
      const inv2 = 1 / (dx * dx + dy * dy + dz * dz);
      const inv = Math.sqrt(inv2);
      const g = data[at + 6] * inv;
      const h = (data[at + 3] * dx + data[at + 4] * dy + data[at + 5] * dz) * inv * inv2;
      g0 += g;
      g1 += g * data[at + 7];
      g2 += g * data[at + 8];
      h0 += h;
      h1 += h * data[at + 7];
      h2 += h * data[at + 8];
    }
    m[0] += g0;
    m[1] += g1;
    m[2] += g2;
    m[6] += h0;
    m[7] += h1;
    m[8] += h2;
  }

  private gather(start: number, x: number, y: number, z: number, m: Float64Array): void {
    const { data } = this;
    let g0 = 0;
    let g1 = 0;
    let g2 = 0;
    let g3 = 0;
    let g4 = 0;
    let g5 = 0;
    let h0 = 0;
    let h1 = 0;
    let h2 = 0;
    let h3 = 0;
    let h4 = 0;
    let h5 = 0;
    for (let k = 0, at = start; k < POINTS; k++, at += STRIDE) {
      const dx = x - data[at];
      const dy = y - data[at + 1];
      const dz = z - data[at + 2];
      const inv2 = 1 / (dx * dx + dy * dy + dz * dz);
      const inv = Math.sqrt(inv2);
      const g = data[at + 6] * inv;
      const h = (data[at + 3] * dx + data[at + 4] * dy + data[at + 5] * dz) * inv * inv2;
      const s = data[at + 7];
      const t = data[at + 8];
      const gs = g * s;
      const gt = g * t;
      const hs = h * s;
      const ht = h * t;
      g0 += g;
      g1 += gs;
      g2 += gt;
      g3 += gs * s;
      g4 += gs * t;
      g5 += gt * t;
      h0 += h;
      h1 += hs;
      h2 += ht;
      h3 += hs * s;
      h4 += hs * t;
      h5 += ht * t;
    }
    m[0] += g0;
    m[1] += g1;
    m[2] += g2;
    m[3] += g3;
    m[4] += g4;
    m[5] += g5;
    m[6] += h0;
    m[7] += h1;
    m[8] += h2;
    m[9] += h3;
    m[10] += h4;
    m[11] += h5;
  }

  private addPiece(
    sa: number,
    ta: number,
    sb: number,
    tb: number,
    sc: number,
    tc: number,
    depth: number,
  ): void {
    if (this.pieces === this.child.length) this.grow();
    const i = this.pieces++;
    this.corner.set([sa, ta, sb, tb, sc, tc], 6 * i);
    this.child[i] = -1;
    this.points[i] = -1;
    this.depth[i] = depth;
    const { coef } = this.panels;
    const { point, centre } = this;
    evaluatePanel(coef, this.p, (sa + sb + sc) / 3, (ta + tb + tc) / 3, point, 0);
    const x = point[0];
    const y = point[1];
    const z = point[2];
    let r2 = 0;
    for (let k = 0; k < 6; k++) {
      const s =
        k === 0
          ? sa
          : k === 1
            ? sb
            : k === 2
              ? sc
              : k === 3
                ? (sa + sb) / 2
                : k === 4
                  ? (sb + sc) / 2
                  : (sc + sa) / 2;
      const t =
        k === 0
          ? ta
          : k === 1
            ? tb
            : k === 2
              ? tc
              : k === 3
                ? (ta + tb) / 2
                : k === 4
                  ? (tb + tc) / 2
                  : (tc + ta) / 2;
      evaluatePanel(coef, this.p, s, t, point, 0);
      const d2 = (point[0] - x) ** 2 + (point[1] - y) ** 2 + (point[2] - z) ** 2;
      if (d2 > r2) r2 = d2;
    }
    centre[4 * i] = x;
    centre[4 * i + 1] = y;
    centre[4 * i + 2] = z;
    centre[4 * i + 3] = Math.sqrt(r2);
  }

  /** Cuts a piece in two at the middle of its longest side. */
  private split(piece: number): void {
    const { coef } = this.panels;
    const { point, corner } = this;
    const c = 6 * piece;
    let longest = 0;
    let most = -1;
    for (let k = 0; k < 3; k++) {
      const a = c + 2 * k;
      const b = c + 2 * ((k + 1) % 3);
      evaluatePanel(coef, this.p, corner[a], corner[a + 1], point, 0);
      const x = point[0];
      const y = point[1];
      const z = point[2];
      evaluatePanel(coef, this.p, corner[b], corner[b + 1], point, 0);
      const d2 = (point[0] - x) ** 2 + (point[1] - y) ** 2 + (point[2] - z) ** 2;
      if (d2 > most) {
        most = d2;
        longest = k;
      }
    }
    const a = c + 2 * longest;
    const b = c + 2 * ((longest + 1) % 3);
    const o = c + 2 * ((longest + 2) % 3);
    const [sa, ta, sb, tb, so, to] = [
      corner[a],
      corner[a + 1],
      corner[b],
      corner[b + 1],
      corner[o],
      corner[o + 1],
    ];
    const sm = 0.5 * (sa + sb);
    const tm = 0.5 * (ta + tb);
    const depth = this.depth[piece] + 1;
    this.child[piece] = this.pieces;
    this.addPiece(sa, ta, sm, tm, so, to, depth);
    this.addPiece(sm, tm, sb, tb, so, to, depth);
  }

  private fill(piece: number): void {
    const start = this.filled * STRIDE * POINTS;
    if (start + STRIDE * POINTS > this.data.length) {
      const larger = new Float64Array(2 * this.data.length);
      larger.set(this.data);
      this.data = larger;
    }
    this.filled++;
    this.points[piece] = start;
    const { corner, point, data } = this;
    const c = 6 * piece;
    const sa = corner[c];
    const ta = corner[c + 1];
    const sb = corner[c + 2] - sa;
    const tb = corner[c + 3] - ta;
    const sc = corner[c + 4] - sa;
    const tc = corner[c + 5] - ta;
    const double = Math.abs(sb * tc - sc * tb);
    for (let k = 0; k < POINTS; k++) {
      const s = sa + RULE.s[k] * sb + RULE.t[k] * sc;
      const t = ta + RULE.s[k] * tb + RULE.t[k] * tc;
      evaluatePanel(this.panels.coef, this.p, s, t, point, 0);
      const w = RULE.w[k] * double;
      const at = start + STRIDE * k;
      data[at] = point[0];
      data[at + 1] = point[1];
      data[at + 2] = point[2];
      data[at + 3] = w * point[3];
      data[at + 4] = w * point[4];
      data[at + 5] = w * point[5];
      data[at + 6] = w * Math.sqrt(point[3] ** 2 + point[4] ** 2 + point[5] ** 2);
      data[at + 7] = s;
      data[at + 8] = t;
    }
  }

  private grow(): void {
    const size = 2 * this.child.length;
    const wider = <T extends Float64Array | Int32Array | Uint8Array>(old: T, fresh: T): T => {
      fresh.set(old);
      return fresh;
    };
    this.corner = wider(this.corner, new Float64Array(6 * size));
    this.centre = wider(this.centre, new Float64Array(4 * size));
    this.child = wider(this.child, new Int32Array(size));
    this.points = wider(this.points, new Int32Array(size));
    this.depth = wider(this.depth, new Uint8Array(size));
  }
}
