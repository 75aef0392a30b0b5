import type { PanelSurface } from '../geometry/index.js';

/**
 * The curved triangles as polynomials, ready for hot loops. Panels are kept sorted by body, so that all that belongs
 * to one body is contiguous; `origin` leads back to the number in the surface.
 *
 *   x(s, t) = c0 + c1 s + c2 t + c3 s^2 + c4 s t + c5 t^2   on {s, t >= 0, s + t <= 1}
 */
export interface Panels {
  count: number;
  /** 18 numbers a panel: c0..c5, each xyz [m]. */
  coef: Float64Array;
  /** Centre (at s = t = 1/3), xyz [m]. */
  centre: Float64Array;
  /** Largest distance of a node from the centre [m]. */
  radius: Float64Array;
  /** 1 where the panel is a plane triangle with mid-side nodes half way. */
  flat: Uint8Array;
  patch: Int32Array;
  body: Int32Array;
  origin: Int32Array;
  /** Panels of body b are [bodyStart[b], bodyStart[b + 1]). */
  bodyStart: Int32Array;
}

/** Mid-side nodes within this fraction of the panel's radius from half way count as half way. */
const FLAT = 1e-9;

export function buildPanels(surface: PanelSurface): Panels {
  const count = surface.patch.length;
  const bodies = surface.body.reduce((most, b) => Math.max(most, b), -1) + 1;
  const origin = Int32Array.from({ length: count }, (_, i) => i).sort(
    (a, b) => surface.body[a] - surface.body[b] || a - b,
  );
  const out: Panels = {
    count,
    coef: new Float64Array(18 * count),
    centre: new Float64Array(3 * count),
    radius: new Float64Array(count),
    flat: new Uint8Array(count),
    patch: Int32Array.from(origin, (p) => surface.patch[p]),
    body: Int32Array.from(origin, (p) => surface.body[p]),
    origin,
    bodyStart: new Int32Array(bodies + 1),
  };
  for (let p = 0; p < count; p++) {
    expand(surface, origin[p], out, p);
    out.bodyStart[out.body[p] + 1] = p + 1;
  }
  for (let b = 0; b < bodies; b++) if (out.bodyStart[b + 1] === 0) out.bodyStart[b + 1] = out.bodyStart[b];
  return out;
}

function expand(surface: PanelSurface, from: number, out: Panels, to: number): void {
  const { nodes, panels } = surface;
  const at = (k: number, d: number) => nodes[3 * panels[6 * from + k] + d];
  let bend = 0;
  for (let d = 0; d < 3; d++) {
    const [a, b, c, ab, bc, ca] = [at(0, d), at(1, d), at(2, d), at(3, d), at(4, d), at(5, d)];
    const coef = [
      a,
      4 * ab - 3 * a - b,
      4 * ca - 3 * a - c,
      2 * (a + b) - 4 * ab,
      4 * (a + bc - ab - ca),
      2 * (a + c) - 4 * ca,
    ];
    for (let m = 0; m < 6; m++) out.coef[18 * to + 3 * m + d] = coef[m];
    out.centre[3 * to + d] = (4 * (ab + bc + ca) - (a + b + c)) / 9;
    bend = Math.max(bend, Math.abs(coef[3]), Math.abs(coef[4]), Math.abs(coef[5]));
  }
  let radius = 0;
  for (let k = 0; k < 6; k++)
    radius = Math.max(radius, Math.hypot(...[0, 1, 2].map((d) => at(k, d) - out.centre[3 * to + d])));
  out.radius[to] = radius;
  out.flat[to] = bend <= 4 * FLAT * radius ? 1 : 0;
}

/**
 * Position and area vector (x_s cross x_t, whose length is the area per parameter area) of panel p at (s, t): writes
 * out[at..at+2] and out[at+3..at+5].
 */
export function evaluatePanel(
  coef: Float64Array,
  p: number,
  s: number,
  t: number,
  out: Float64Array,
  at: number,
): void {
  const c = 18 * p;
  const us = 2 * s;
  const ut = 2 * t;
  const x0 =
    coef[c] + s * (coef[c + 3] + s * coef[c + 9] + t * coef[c + 12]) + t * (coef[c + 6] + t * coef[c + 15]);
  const y0 =
    coef[c + 1] +
    s * (coef[c + 4] + s * coef[c + 10] + t * coef[c + 13]) +
    t * (coef[c + 7] + t * coef[c + 16]);
  const z0 =
    coef[c + 2] +
    s * (coef[c + 5] + s * coef[c + 11] + t * coef[c + 14]) +
    t * (coef[c + 8] + t * coef[c + 17]);
  const ax = coef[c + 3] + us * coef[c + 9] + t * coef[c + 12];
  const ay = coef[c + 4] + us * coef[c + 10] + t * coef[c + 13];
  const az = coef[c + 5] + us * coef[c + 11] + t * coef[c + 14];
  const bx = coef[c + 6] + s * coef[c + 12] + ut * coef[c + 15];
  const by = coef[c + 7] + s * coef[c + 13] + ut * coef[c + 16];
  const bz = coef[c + 8] + s * coef[c + 14] + ut * coef[c + 17];
  out[at] = x0;
  out[at + 1] = y0;
  out[at + 2] = z0;
  out[at + 3] = ay * bz - az * by;
  out[at + 4] = az * bx - ax * bz;
  out[at + 5] = ax * by - ay * bx;
}
