/** Closed forms of a plane panel: flat.ts and plane-panel.ts, line by line, except that they end in monomials of s and t. */
import { evaluate, nx, ny, nz, px, py, pz } from './near-panel.as';

let ax: f64 = 0;
let ay: f64 = 0;
let az: f64 = 0;
let mx: f64 = 0;
let my: f64 = 0;
let mz: f64 = 0;
let e1x: f64 = 0;
let e1y: f64 = 0;
let e1z: f64 = 0;
let l1: f64 = 0;
let c1: f64 = 0;
let c2: f64 = 0;

/** Own axes of the panel whose coefficients stand at `c`: corners at (0, 0), (l1, 0), (c1, c2). */
export function beginFlat(c: usize): void {
  evaluate(c, 0, 0);
  ax = px;
  ay = py;
  az = pz;
  const area = sqrt(nx * nx + ny * ny + nz * nz);
  mx = nx / area;
  my = ny / area;
  mz = nz / area;
  e1x = load<f64>(c, 24);
  e1y = load<f64>(c, 32);
  e1z = load<f64>(c, 40);
  l1 = sqrt(e1x * e1x + e1y * e1y + e1z * e1z);
  e1x /= l1;
  e1y /= l1;
  e1z /= l1;
  c1 = load<f64>(c, 48) * e1x + load<f64>(c, 56) * e1y + load<f64>(c, 64) * e1z;
  c2 = area / l1;
}

let s0: f64 = 0;
let s1: f64 = 0;
let s2: f64 = 0;
let angle: f64 = 0;
let d1: f64 = 0;
let d2: f64 = 0;
let radial: f64 = 0;
let m11: f64 = 0;
let m12: f64 = 0;
let m22: f64 = 0;
let k11: f64 = 0;
let k12: f64 = 0;
let k22: f64 = 0;

/** One side from (ax, ay) to (bx, by), relative to the foot of the observer. */
function side(fx: f64, fy: f64, bx: f64, by: f64, h2: f64, above: f64): void {
  const length = sqrt((bx - fx) * (bx - fx) + (by - fy) * (by - fy));
  if (length === 0) return;
  const tx = (bx - fx) / length;
  const ty = (by - fy) / length;
  // Outward normal of the side: (ty, -tx).
  const p = fx * ty - fy * tx;
  const from = fx * tx + fy * ty;
  const to = bx * tx + by * ty;
  const near2 = p * p + h2;
  const rFrom = sqrt(from * from + near2);
  const rTo = sqrt(to * to + near2);
  let log: f64 = 0;
  if (from > 0) log = Math.log((rTo + to) / (rFrom + from));
  else if (to < 0) log = Math.log((rFrom - from) / (rTo - to));
  else if (near2 > 0) log = Math.log(((rTo + to) * (rFrom - from)) / near2);
  let beta: f64 = 0;
  if (near2 > 0) beta = Math.atan((p * to) / (near2 + above * rTo)) - Math.atan((p * from) / (near2 + above * rFrom));
  s0 += p * log - above * beta;
  angle += beta;
  const along = 0.5 * (near2 * log + to * rTo - from * rFrom);
  s1 += ty * along;
  s2 -= tx * along;
  d1 -= ty * log;
  d2 += tx * log;
  radial += p * along;
  const cubic = (rTo * rTo * rTo - rFrom * rFrom * rFrom) / 3;
  const step = rTo - rFrom;
  m11 += ty * (ty * p * along + tx * cubic);
  m12 += ty * (-tx * p * along + ty * cubic);
  m22 -= tx * (-tx * p * along + ty * cubic);
  k11 += ty * (ty * p * log + tx * step);
  k12 += ty * (-tx * p * log + ty * step);
  k22 -= tx * (-tx * p * log + ty * step);
}

/** Writes 12 f64 to `out`, as `integratePieces` does. */
export function integrateFlat(x: f64, y: f64, z: f64, inPlane: bool, out: usize): void {
  const rx = x - ax;
  const ry = y - ay;
  const rz = z - az;
  const u = rx * e1x + ry * e1y + rz * e1z;
  // The second axis is the normal crossed with the first.
  const v = rx * (my * e1z - mz * e1y) + ry * (mz * e1x - mx * e1z) + rz * (mx * e1y - my * e1x);
  const height = inPlane ? 0 : rx * mx + ry * my + rz * mz;
  s0 = s1 = s2 = angle = d1 = d2 = radial = m11 = m12 = m22 = k11 = k12 = k22 = 0;
  const h2 = height * height;
  const above = abs(height);
  side(-u, -v, l1 - u, -v, h2, above);
  side(l1 - u, -v, c1 - u, c2 - v, h2, above);
  side(c1 - u, c2 - v, -u, -v, h2, above);
  const mean = (radial + h2 * s0) / 3;
  toMonomials(u, v, s0, s1, s2, m11 - mean, m12, m22 - mean, out);
  const solid = height > 0 ? angle : height < 0 ? -angle : 0;
  toMonomials(
    u, v, solid, height * d1, height * d2, height * (s0 - k11), -height * k12, height * (s0 - k22), out + 48,
  );
}

/** Moments in the plane's axes about the foot (u, v) into moments of 1, s, t, s^2, s t, t^2. */
function toMonomials(u: f64, v: f64, w: f64, w1: f64, w2: f64, w11: f64, w12: f64, w22: f64, out: usize): void {
  const gs1 = 1 / l1;
  const gs2 = -c1 / (l1 * c2);
  const gt2 = 1 / c2;
  const s = gs1 * u + gs2 * v;
  const t = gt2 * v;
  const fs = gs1 * w1 + gs2 * w2;
  const ft = gt2 * w2;
  store<f64>(out, w);
  store<f64>(out, s * w + fs, 8);
  store<f64>(out, t * w + ft, 16);
  store<f64>(out, s * s * w + 2 * s * fs + gs1 * gs1 * w11 + 2 * gs1 * gs2 * w12 + gs2 * gs2 * w22, 24);
  store<f64>(out, s * t * w + s * ft + t * fs + gt2 * (gs1 * w12 + gs2 * w22), 32);
  store<f64>(out, t * t * w + 2 * t * ft + gt2 * gt2 * w22, 40);
}
