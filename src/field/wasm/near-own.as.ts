/** A curved panel seen from a point inside itself: own-panel.ts, line by line. */
import { ACROSS, ACROSS_POINTS, ALONG, ALONG_POINTS } from './near-layout';
import { evaluate, nx, ny, nz, px, py, pz } from './near-panel.as';

// @ts-ignore: decorator
@inline
function asinh(x: f64): f64 {
  const a = abs(x);
  return copysign(Math.log(a + sqrt(a * a + 1)), x);
}

/** Writes 12 f64 to `out`, as `integratePieces` does. `c`: the panel's coefficients; (s0, t0): the observer. */
export function integrateOwn(plan: usize, c: usize, s0: f64, t0: f64, out: usize): void {
  let ee: f64 = 0;
  let ef: f64 = 0;
  let ff: f64 = 0;
  for (let d: usize = 0; d < 24; d += 8) {
    const a = load<f64>(c + d, 24) + 2 * s0 * load<f64>(c + d, 72) + t0 * load<f64>(c + d, 96);
    const b = load<f64>(c + d, 48) + s0 * load<f64>(c + d, 96) + 2 * t0 * load<f64>(c + d, 120);
    ee += a * a;
    ef += a * b;
    ff += b * b;
  }
  const e1 = sqrt(ee);
  const e2 = ef / e1;
  const e3 = sqrt(max(ff - e2 * e2, 1e-300));
  evaluate(c, s0, t0);
  const x = px;
  const y = py;
  const z = pz;
  memory.fill(out, 0, 96);
  const rays = <usize>load<i32>(plan, ACROSS);
  const along = <usize>load<i32>(plan, ALONG);
  for (let side = 0; side < 3; side++) {
    const as = side === 1 ? 1 - s0 : -s0;
    const at = side === 2 ? 1 - t0 : -t0;
    const bs = side === 0 ? 1 - s0 : -s0;
    const bt = side === 1 ? 1 - t0 : -t0;
    const au = e1 * as + e2 * at;
    const av = e3 * at;
    const bu = e1 * bs + e2 * bt;
    const bv = e3 * bt;
    const length = sqrt((bu - au) * (bu - au) + (bv - av) * (bv - av));
    const from = (au * (bu - au) + av * (bv - av)) / length;
    const distance = abs(au * bv - av * bu) / length;
    const low = asinh(from / distance);
    const high = asinh((from + length) / distance);
    for (let j: usize = 0; j < <usize>ACROSS_POINTS; j++) {
      const tau = low + (high - low) * load<f64>(rays + (j << 4));
      const grown = Math.exp(tau);
      const share = (distance * 0.5 * (grown - 1 / grown) - from) / length;
      const ds = as + share * (bs - as);
      const dt = at + share * (bt - at);
      const strip =
        (load<f64>(rays + (j << 4), 8) * (high - low) * distance * distance * 0.5 * (grown + 1 / grown)) / (e1 * e3);
      for (let i: usize = 0; i < <usize>ALONG_POINTS; i++) {
        const rho = load<f64>(along + (i << 4));
        const s = s0 + rho * ds;
        const t = t0 + rho * dt;
        evaluate(c, s, t);
        const dx = x - px;
        const dy = y - py;
        const dz = z - pz;
        const inv = 1 / sqrt(dx * dx + dy * dy + dz * dz);
        const w = load<f64>(along + (i << 4), 8) * strip * rho * inv;
        add(out, w * sqrt(nx * nx + ny * ny + nz * nz), s, t);
        add(out + 48, w * inv * inv * (nx * dx + ny * dy + nz * dz), s, t);
      }
    }
  }
}

// @ts-ignore: decorator
@inline
function add(m: usize, w: f64, s: f64, t: f64): void {
  store<f64>(m, load<f64>(m) + w);
  store<f64>(m, load<f64>(m, 8) + w * s, 8);
  store<f64>(m, load<f64>(m, 16) + w * t, 16);
  store<f64>(m, load<f64>(m, 24) + w * s * s, 24);
  store<f64>(m, load<f64>(m, 32) + w * s * t, 32);
  store<f64>(m, load<f64>(m, 40) + w * t * t, 40);
}
