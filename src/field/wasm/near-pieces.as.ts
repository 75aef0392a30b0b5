/**
 * A panel cut into pieces until each is clear of the observer, then a rule on each: what subdivision.ts does, four
 * points at a time. Points are kept relative to the middle of their piece, so that single precision loses nothing.
 */
import { across } from './harmonics.as';
import { PIECE_RULE } from './near-layout';
import { evaluate, locate, nx, ny, nz, px, py, pz } from './near-panel.as';

const CLEAR: f64 = 1.5;
const DEEPEST = 40;

/** Parts of the scratch. Sums: 12 vectors; a stack of pieces; the pieces; their points. */
const STACK: usize = 1024;
const PIECES: usize = 2048;
/** corner s t, s t, s t; middle xyz; square of the clear distance (f64); child, points, depth (i32). */
const PIECE_BYTES: usize = 96;
const MOST_PIECES = 1280;
/** Three groups of four points: x, y, z, area vector x, y, z, area, s, t. */
const GROUP_BYTES: usize = 144;
const POINTS: usize = PIECES + <usize>MOST_PIECES * PIECE_BYTES;
const POINT_BYTES: usize = 3 * GROUP_BYTES;
const MOST_POINTS = 896;
/** Where a piece is filled when there is no room to keep its points. */
const SPARE: usize = POINTS + <usize>MOST_POINTS * POINT_BYTES;

let pieces = 0;
let filled = 0;
let coef: usize = 0;
let rule: usize = 0;
let base: usize = 0;

export function beginPieces(plan: usize, panel: usize, scratch: usize): void {
  coef = panel;
  rule = <usize>load<i32>(plan, PIECE_RULE);
  base = scratch;
  restart();
}

function restart(): void {
  pieces = 0;
  filled = 0;
  addPiece(0, 0, 1, 0, 0, 1, 0);
}

/** Whether the panel as a whole is clear of the observer. */
export function rootClear(x: f64, y: f64, z: f64): bool {
  const piece = base + PIECES;
  const dx = x - load<f64>(piece, 48);
  const dy = y - load<f64>(piece, 56);
  const dz = z - load<f64>(piece, 64);
  return dx * dx + dy * dy + dz * dz > load<f64>(piece, 72);
}

/**
 * Writes the integrals of (1, s, t, s^2, s t, t^2) / R and of the same times N.(x - y) / R^3 as 12 f64 to `out`; those of
 * degree two only if `quadratic`.
 */
export function integratePieces(x: f64, y: f64, z: f64, quadratic: bool, out: usize): void {
  // Pieces of earlier observers are dropped when they have filled the room; one observer alone never needs it all.
  if (!gatherAll(x, y, z, quadratic, false)) {
    restart();
    gatherAll(x, y, z, quadratic, true);
  }
  for (let k: usize = 0; k < 12; k++) store<f64>(out + (k << 3), <f64>across(v128.load(base + (k << 4))));
}

function gatherAll(x: f64, y: f64, z: f64, quadratic: bool, force: bool): bool {
  memory.fill(base, 0, 192);
  const bottom = base + STACK;
  let top = bottom;
  store<i32>(top, 0);
  top += 4;
  while (top > bottom) {
    top -= 4;
    const piece = base + PIECES + <usize>load<i32>(top) * PIECE_BYTES;
    const dx = x - load<f64>(piece, 48);
    const dy = y - load<f64>(piece, 56);
    const dz = z - load<f64>(piece, 64);
    let child = load<i32>(piece, 80);
    const full = child < 0 && pieces + 2 > MOST_PIECES;
    if (dx * dx + dy * dy + dz * dz > load<f64>(piece, 72) || load<i32>(piece, 88) >= DEEPEST || (full && force)) {
      const points = pointsOf(piece);
      if (quadratic) gather(points, <f32>dx, <f32>dy, <f32>dz);
      else gatherLinear(points, <f32>dx, <f32>dy, <f32>dz);
      continue;
    }
    if (full) return false;
    if (child < 0) {
      child = pieces;
      split(piece);
      store<i32>(piece, child, 80);
    }
    store<i32>(top, child);
    store<i32>(top, child + 1, 4);
    top += 8;
  }
  return true;
}

// @ts-ignore: decorator
@inline
function accumulate(slot: usize, v: v128): void {
  v128.store(base + slot, f32x4.add(v128.load(base + slot), v));
}

function gatherLinear(points: usize, x: f32, y: f32, z: f32): void {
  const ox = f32x4.splat(x);
  const oy = f32x4.splat(y);
  const oz = f32x4.splat(z);
  let g0 = f32x4.splat(0);
  let g1 = g0;
  let g2 = g0;
  let h0 = g0;
  let h1 = g0;
  let h2 = g0;
  for (let p = points, end = points + POINT_BYTES; p < end; p += GROUP_BYTES) {
    const dx = f32x4.sub(ox, v128.load(p));
    const dy = f32x4.sub(oy, v128.load(p, 16));
    const dz = f32x4.sub(oz, v128.load(p, 32));
    const r2 = f32x4.add(f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy)), f32x4.mul(dz, dz));
    const inv2 = f32x4.div(f32x4.splat(1), r2);
    const inv = f32x4.sqrt(inv2);
    const along = f32x4.add(
      f32x4.add(f32x4.mul(v128.load(p, 48), dx), f32x4.mul(v128.load(p, 64), dy)),
      f32x4.mul(v128.load(p, 80), dz),
    );
    const g = f32x4.mul(v128.load(p, 96), inv);
    const h = f32x4.mul(f32x4.mul(along, inv), inv2);
    const s = v128.load(p, 112);
    const t = v128.load(p, 128);
    g0 = f32x4.add(g0, g);
    g1 = f32x4.add(g1, f32x4.mul(g, s));
    g2 = f32x4.add(g2, f32x4.mul(g, t));
    h0 = f32x4.add(h0, h);
    h1 = f32x4.add(h1, f32x4.mul(h, s));
    h2 = f32x4.add(h2, f32x4.mul(h, t));
  }
  accumulate(0, g0);
  accumulate(16, g1);
  accumulate(32, g2);
  accumulate(96, h0);
  accumulate(112, h1);
  accumulate(128, h2);
}

function gather(points: usize, x: f32, y: f32, z: f32): void {
  const ox = f32x4.splat(x);
  const oy = f32x4.splat(y);
  const oz = f32x4.splat(z);
  for (let p = points, end = points + POINT_BYTES; p < end; p += GROUP_BYTES) {
    const dx = f32x4.sub(ox, v128.load(p));
    const dy = f32x4.sub(oy, v128.load(p, 16));
    const dz = f32x4.sub(oz, v128.load(p, 32));
    const r2 = f32x4.add(f32x4.add(f32x4.mul(dx, dx), f32x4.mul(dy, dy)), f32x4.mul(dz, dz));
    const inv2 = f32x4.div(f32x4.splat(1), r2);
    const inv = f32x4.sqrt(inv2);
    const along = f32x4.add(
      f32x4.add(f32x4.mul(v128.load(p, 48), dx), f32x4.mul(v128.load(p, 64), dy)),
      f32x4.mul(v128.load(p, 80), dz),
    );
    moments(0, f32x4.mul(v128.load(p, 96), inv), v128.load(p, 112), v128.load(p, 128));
    moments(96, f32x4.mul(f32x4.mul(along, inv), inv2), v128.load(p, 112), v128.load(p, 128));
  }
}

// @ts-ignore: decorator
@inline
function moments(slot: usize, g: v128, s: v128, t: v128): void {
  const gs = f32x4.mul(g, s);
  const gt = f32x4.mul(g, t);
  accumulate(slot, g);
  accumulate(slot + 16, gs);
  accumulate(slot + 32, gt);
  accumulate(slot + 48, f32x4.mul(gs, s));
  accumulate(slot + 64, f32x4.mul(gs, t));
  accumulate(slot + 80, f32x4.mul(gt, t));
}

function addPiece(sa: f64, ta: f64, sb: f64, tb: f64, sc: f64, tc: f64, depth: i32): void {
  const piece = base + PIECES + <usize>pieces * PIECE_BYTES;
  pieces++;
  store<f64>(piece, sa);
  store<f64>(piece, ta, 8);
  store<f64>(piece, sb, 16);
  store<f64>(piece, tb, 24);
  store<f64>(piece, sc, 32);
  store<f64>(piece, tc, 40);
  store<i32>(piece, -1, 80);
  store<i32>(piece, -1, 84);
  store<i32>(piece, depth, 88);
  locate(coef, (sa + sb + sc) / 3, (ta + tb + tc) / 3);
  const x = px;
  const y = py;
  const z = pz;
  store<f64>(piece, x, 48);
  store<f64>(piece, y, 56);
  store<f64>(piece, z, 64);
  let r2 = away(sa, ta, x, y, z);
  r2 = max(r2, away(sb, tb, x, y, z));
  r2 = max(r2, away(sc, tc, x, y, z));
  r2 = max(r2, away(0.5 * (sa + sb), 0.5 * (ta + tb), x, y, z));
  r2 = max(r2, away(0.5 * (sb + sc), 0.5 * (tb + tc), x, y, z));
  r2 = max(r2, away(0.5 * (sc + sa), 0.5 * (tc + ta), x, y, z));
  store<f64>(piece, CLEAR * CLEAR * r2, 72);
}

/** Square of the distance of a point of the panel from (x, y, z). */
// @ts-ignore: decorator
@inline
function away(s: f64, t: f64, x: f64, y: f64, z: f64): f64 {
  locate(coef, s, t);
  return (px - x) * (px - x) + (py - y) * (py - y) + (pz - z) * (pz - z);
}

/** Cuts a piece in two at the middle of its longest side. */
function split(piece: usize): void {
  let a: usize = 0;
  let most: f64 = -1;
  for (let k: usize = 0; k < 3; k++) {
    const from = piece + (k << 4);
    const to = piece + (((k + 1) % 3) << 4);
    locate(coef, load<f64>(from), load<f64>(from, 8));
    const x = px;
    const y = py;
    const z = pz;
    const d2 = away(load<f64>(to), load<f64>(to, 8), x, y, z);
    if (d2 > most) {
      most = d2;
      a = k;
    }
  }
  const from = piece + (a << 4);
  const to = piece + (((a + 1) % 3) << 4);
  const other = piece + (((a + 2) % 3) << 4);
  const sa = load<f64>(from);
  const ta = load<f64>(from, 8);
  const sb = load<f64>(to);
  const tb = load<f64>(to, 8);
  const so = load<f64>(other);
  const te = load<f64>(other, 8);
  const depth = load<i32>(piece, 88) + 1;
  addPiece(sa, ta, 0.5 * (sa + sb), 0.5 * (ta + tb), so, te, depth);
  addPiece(0.5 * (sa + sb), 0.5 * (ta + tb), sb, tb, so, te, depth);
}

/** Address of the points of a piece, filled if need be. */
function pointsOf(piece: usize): usize {
  const known = load<i32>(piece, 84);
  if (known >= 0) return base + POINTS + <usize>known * POINT_BYTES;
  let at = base + SPARE;
  if (filled < MOST_POINTS) {
    store<i32>(piece, filled, 84);
    at = base + POINTS + <usize>filled * POINT_BYTES;
    filled++;
  }
  const sa = load<f64>(piece);
  const ta = load<f64>(piece, 8);
  const sb = load<f64>(piece, 16) - sa;
  const tb = load<f64>(piece, 24) - ta;
  const sc = load<f64>(piece, 32) - sa;
  const tc = load<f64>(piece, 40) - ta;
  const double = abs(sb * tc - sc * tb);
  const x = load<f64>(piece, 48);
  const y = load<f64>(piece, 56);
  const z = load<f64>(piece, 64);
  for (let k: usize = 0; k < 12; k++) {
    const r = rule + k * 24;
    const s = sa + load<f64>(r) * sb + load<f64>(r, 8) * sc;
    const t = ta + load<f64>(r) * tb + load<f64>(r, 8) * tc;
    evaluate(coef, s, t);
    const w = load<f64>(r, 16) * double;
    const p = at + (k >> 2) * GROUP_BYTES + ((k & 3) << 2);
    store<f32>(p, <f32>(px - x));
    store<f32>(p, <f32>(py - y), 16);
    store<f32>(p, <f32>(pz - z), 32);
    store<f32>(p, <f32>(w * nx), 48);
    store<f32>(p, <f32>(w * ny), 64);
    store<f32>(p, <f32>(w * nz), 80);
    store<f32>(p, <f32>(w * sqrt(nx * nx + ny * ny + nz * nz)), 96);
    store<f32>(p, <f32>s, 112);
    store<f32>(p, <f32>t, 128);
  }
  return at;
}
