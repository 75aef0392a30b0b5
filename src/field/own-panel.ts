import { gaussLegendre } from '../numerics/index.js';
import { evaluatePanel, type Panels } from './panels.js';

/** Gauss points along the ray from the node and across the angle. */
const ALONG = gaussLegendre(5);
const ACROSS = gaussLegendre(10);

/**
 * Integrals over a curved panel seen from a point (s0, t0) inside itself. The panel is cut into three triangles from the
 * point to the sides. In the tangent plane at the point each is covered by rays (rho, l): the 1/r is taken away by
 * rho, and l = d sinh(tau), d the distance of the side, flattens what stretched panels do to the angle: for a plane
 * triangle and constant density the integrand is constant in tau.
 * (Substitution: P. R. Johnston and D. Elliott, Int. J. Numer. Methods Eng. 62 (2005) 564.)
 *
 * @param monomials receives 12 numbers: the integrals of (1, s, t, s^2, s t, t^2) / R, then of the same times
 *   N.(x - y) / R^3 with N the panel's own area vector
 */
export function ownPanel(panels: Panels, p: number, s0: number, t0: number, monomials: Float64Array): void {
  const { coef } = panels;
  const c = 18 * p;
  let ee = 0;
  let ef = 0;
  let ff = 0;
  for (let d = 0; d < 3; d++) {
    const a = coef[c + 3 + d] + 2 * s0 * coef[c + 9 + d] + t0 * coef[c + 12 + d];
    const b = coef[c + 6 + d] + s0 * coef[c + 12 + d] + 2 * t0 * coef[c + 15 + d];
    ee += a * a;
    ef += a * b;
    ff += b * b;
  }
  // Plane coordinates (u, v) = (e1 ds + e2 dt, e3 dt) have the metric of the panel at the point.
  const e1 = Math.sqrt(ee);
  const e2 = ef / e1;
  const e3 = Math.sqrt(Math.max(ff - e2 * e2, 1e-300));
  const corners = [-s0, -t0, 1 - s0, -t0, -s0, 1 - t0];
  const here = scratch.subarray(0, 6);
  const there = scratch.subarray(6, 12);
  evaluatePanel(coef, p, s0, t0, here, 0);
  monomials.fill(0);
  for (let side = 0; side < 3; side++) {
    const as = corners[2 * side];
    const at = corners[2 * side + 1];
    const bs = corners[(2 * side + 2) % 6];
    const bt = corners[(2 * side + 3) % 6];
    const au = e1 * as + e2 * at;
    const av = e3 * at;
    const bu = e1 * bs + e2 * bt;
    const bv = e3 * bt;
    const length = Math.hypot(bu - au, bv - av);
    const tu = (bu - au) / length;
    const tv = (bv - av) / length;
    const from = au * tu + av * tv;
    const distance = Math.abs(au * bv - av * bu) / length;
    const low = Math.asinh(from / distance);
    const high = Math.asinh((from + length) / distance);
    for (let j = 0; j < ACROSS.x.length; j++) {
      const tau = low + (high - low) * ACROSS.x[j];
      const share = (distance * Math.sinh(tau) - from) / length;
      const ds = as + share * (bs - as);
      const dt = at + share * (bt - at);
      const strip = (ACROSS.w[j] * (high - low) * distance * distance * Math.cosh(tau)) / (e1 * e3);
      for (let i = 0; i < ALONG.x.length; i++) {
        const rho = ALONG.x[i];
        const s = s0 + rho * ds;
        const t = t0 + rho * dt;
        evaluatePanel(coef, p, s, t, there, 0);
        const dx = here[0] - there[0];
        const dy = here[1] - there[1];
        const dz = here[2] - there[2];
        const inv = 1 / Math.sqrt(dx * dx + dy * dy + dz * dz);
        const w = ALONG.w[i] * strip * rho * inv;
        const g = w * Math.sqrt(there[3] * there[3] + there[4] * there[4] + there[5] * there[5]);
        const h = w * inv * inv * (there[3] * dx + there[4] * dy + there[5] * dz);
        add(monomials, 0, g, s, t);
        add(monomials, 6, h, s, t);
      }
    }
  }
}

const scratch = new Float64Array(12);

function add(m: Float64Array, at: number, w: number, s: number, t: number): void {
  m[at] += w;
  m[at + 1] += w * s;
  m[at + 2] += w * t;
  m[at + 3] += w * s * s;
  m[at + 4] += w * s * t;
  m[at + 5] += w * t * t;
}
