/**
 * A panel cut into pieces until each is clear of the observer, then a rule on each: what subdivision.ts does, four points
 * at a time. Each piece has its own polynomial x(u, v) over the unit triangle, so that cutting it, measuring it and
 * finding its points is arithmetic on a few numbers; points are relative to the middle of their piece, so that single
 * precision loses nothing.
 */
import { BASIS, PIECE_RULE } from './near-layout';

const CLEAR: f64 = 1.5;
const DEEPEST = 40;

/** Parts of the scratch. Sums: 12 vectors; a stack of pieces; the pieces; their points. */
const STACK: usize = 1024;
const PIECES: usize = 2048;
const MOST_PIECES = 1280;
/**
 * Polynomial k0..k5, each xyz (f64); s and t as a0 + a1 u + a2 v, s t after s t (f64); middle xyz; square of the clear
 * distance (f64); child, points, depth (i32).
 */
const ST: usize = 144;
const MIDDLE: usize = 192;
const CLEARANCE: usize = 216;
const CHILD: usize = 224;
const FILLED: usize = 228;
const DEPTH: usize = 232;
const PIECE_BYTES: usize = 240;
/** Three groups of four points: x, y, z, weighted area vector x, y, z, weighted area, then the polynomial of each node. */
const MOST_GROUP: usize = 208;
const MOST_POINTS = 896;
const POINTS: usize = PIECES + <usize>MOST_PIECES * PIECE_BYTES;
/** Where a piece is filled when there is no room to keep its points. */
const SPARE: usize = POINTS + <usize>MOST_POINTS * 3 * MOST_GROUP;

let pieces = 0;
let filled = 0;
let panel: usize = 0;
let rule: usize = 0;
let basis: usize = 0;
let base: usize = 0;
let six: bool = false;
let group: usize = 0;

/** @param coef address of the panel's 18 coefficients; `nodes`: how many it has */
export function beginPieces(plan: usize, coef: usize, nodes: usize, scratch: usize): void {
  panel = coef;
  rule = <usize>load<i32>(plan, PIECE_RULE);
  basis = <usize>load<i32>(plan, BASIS) + (nodes === 1 ? 0 : nodes === 3 ? 288 : 576);
  base = scratch;
  six = nodes === 6;
  group = six ? 208 : 160;
  restart();
}

function restart(): void {
  const root = base + PIECES;
  memory.copy(root, panel, 144);
  memory.fill(root + ST, 0, 48);
  store<f64>(root + ST, 1, 16);
  store<f64>(root + ST, 1, 40);
  pieces = 1;
  filled = 0;
  measure(root, 0);
}

/** Whether the panel as a whole is clear of the observer. */
export function rootClear(x: f64, y: f64, z: f64): bool {
  const piece = base + PIECES;
  const dx = x - load<f64>(piece + MIDDLE);
  const dy = y - load<f64>(piece + MIDDLE, 8);
  const dz = z - load<f64>(piece + MIDDLE, 16);
  return dx * dx + dy * dy + dz * dz > load<f64>(piece + CLEARANCE);
}

/**
 * Adds, by node of the panel, the integrals of its polynomial / R times `single` to six f64 at `out`, and those of its
 * polynomial times N.(x - y) / R^3 times `double` to the next six.
 */
export function integratePieces(x: f64, y: f64, z: f64, single: f64, double: f64, out: usize): void {
  // Pieces of earlier observers are dropped when they have filled the room; one observer alone never needs it all.
  if (!gatherAll(x, y, z, false)) {
    restart();
    gatherAll(x, y, z, true);
  }
  const zero = f32x4.splat(0);
  hand(out, single, totals(load4(0), load4(16), load4(32), six ? load4(48) : zero));
  hand(out + 48, double, totals(load4(96), load4(112), load4(128), six ? load4(144) : zero));
  if (!six) return;
  handTwo(out + 32, single, totals(load4(64), load4(80), zero, zero));
  handTwo(out + 80, double, totals(load4(160), load4(176), zero, zero));
}

// @ts-ignore: decorator
@inline
function load4(slot: usize): v128 {
  return v128.load(base + slot);
}

/** The four sums across four vectors. */
// @ts-ignore: decorator
@inline
function totals(a: v128, b: v128, c: v128, d: v128): v128 {
  const ab = f32x4.add(v128.shuffle<f32>(a, b, 0, 4, 1, 5), v128.shuffle<f32>(a, b, 2, 6, 3, 7));
  const cd = f32x4.add(v128.shuffle<f32>(c, d, 0, 4, 1, 5), v128.shuffle<f32>(c, d, 2, 6, 3, 7));
  return f32x4.add(v128.shuffle<f32>(ab, cd, 0, 1, 4, 5), v128.shuffle<f32>(ab, cd, 2, 3, 6, 7));
}

// @ts-ignore: decorator
@inline
function handTwo(out: usize, factor: f64, v: v128): void {
  v128.store(out, f64x2.add(v128.load(out), f64x2.mul(f64x2.splat(factor), f64x2.promote_low_f32x4(v))));
}

// @ts-ignore: decorator
@inline
function hand(out: usize, factor: f64, v: v128): void {
  handTwo(out, factor, v);
  handTwo(out + 16, factor, v128.shuffle<f32>(v, v, 2, 3, 2, 3));
}

function gatherAll(x: f64, y: f64, z: f64, force: bool): bool {
  memory.fill(base, 0, 192);
  const bottom = base + STACK;
  let top = bottom;
  store<i32>(top, 0);
  top += 4;
  while (top > bottom) {
    top -= 4;
    const piece = base + PIECES + <usize>load<i32>(top) * PIECE_BYTES;
    const dx = x - load<f64>(piece + MIDDLE);
    const dy = y - load<f64>(piece + MIDDLE, 8);
    const dz = z - load<f64>(piece + MIDDLE, 16);
    let child = load<i32>(piece + CHILD);
    const full = child < 0 && pieces + 2 > MOST_PIECES;
    const clear = dx * dx + dy * dy + dz * dz > load<f64>(piece + CLEARANCE);
    if (clear || load<i32>(piece + DEPTH) >= DEEPEST || (full && force)) {
      const points = pointsOf(piece);
      if (six) gatherSix(points, <f32>dx, <f32>dy, <f32>dz);
      else gatherThree(points, <f32>dx, <f32>dy, <f32>dz);
      continue;
    }
    if (full) return false;
    if (child < 0) {
      child = pieces;
      split(piece);
      store<i32>(piece + CHILD, child);
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

// @ts-ignore: decorator
@inline
function dot(a: v128, b: v128, c: v128, x: v128, y: v128, z: v128): v128 {
  return f32x4.add(f32x4.add(f32x4.mul(a, x), f32x4.mul(b, y)), f32x4.mul(c, z));
}

/** One node or three: the polynomials past the first are zero where there is one. */
function gatherThree(points: usize, x: f32, y: f32, z: f32): void {
  const ox = f32x4.splat(x);
  const oy = f32x4.splat(y);
  const oz = f32x4.splat(z);
  let g0 = f32x4.splat(0);
  let g1 = g0;
  let g2 = g0;
  let h0 = g0;
  let h1 = g0;
  let h2 = g0;
  for (let p = points, end = points + 480; p < end; p += 160) {
    const dx = f32x4.sub(ox, v128.load(p));
    const dy = f32x4.sub(oy, v128.load(p, 16));
    const dz = f32x4.sub(oz, v128.load(p, 32));
    const inv2 = f32x4.div(f32x4.splat(1), dot(dx, dy, dz, dx, dy, dz));
    const inv = f32x4.sqrt(inv2);
    const along = dot(v128.load(p, 48), v128.load(p, 64), v128.load(p, 80), dx, dy, dz);
    const g = f32x4.mul(v128.load(p, 96), inv);
    const h = f32x4.mul(f32x4.mul(along, inv), inv2);
    const a = v128.load(p, 112);
    const b = v128.load(p, 128);
    const c = v128.load(p, 144);
    g0 = f32x4.add(g0, f32x4.mul(g, a));
    g1 = f32x4.add(g1, f32x4.mul(g, b));
    g2 = f32x4.add(g2, f32x4.mul(g, c));
    h0 = f32x4.add(h0, f32x4.mul(h, a));
    h1 = f32x4.add(h1, f32x4.mul(h, b));
    h2 = f32x4.add(h2, f32x4.mul(h, c));
  }
  accumulate(0, g0);
  accumulate(16, g1);
  accumulate(32, g2);
  accumulate(96, h0);
  accumulate(112, h1);
  accumulate(128, h2);
}

function gatherSix(points: usize, x: f32, y: f32, z: f32): void {
  const ox = f32x4.splat(x);
  const oy = f32x4.splat(y);
  const oz = f32x4.splat(z);
  for (let p = points, end = points + 624; p < end; p += 208) {
    const dx = f32x4.sub(ox, v128.load(p));
    const dy = f32x4.sub(oy, v128.load(p, 16));
    const dz = f32x4.sub(oz, v128.load(p, 32));
    const inv2 = f32x4.div(f32x4.splat(1), dot(dx, dy, dz, dx, dy, dz));
    const inv = f32x4.sqrt(inv2);
    const along = dot(v128.load(p, 48), v128.load(p, 64), v128.load(p, 80), dx, dy, dz);
    const g = f32x4.mul(v128.load(p, 96), inv);
    const h = f32x4.mul(f32x4.mul(along, inv), inv2);
    for (let k: usize = 0; k < 96; k += 16) {
      const f = v128.load(p + k, 112);
      accumulate(k, f32x4.mul(g, f));
      accumulate(k + 96, f32x4.mul(h, f));
    }
  }
}

// @ts-ignore: decorator
@inline
function k(piece: usize, m: usize, d: usize): f64 {
  return load<f64>(piece + m * 24 + d);
}

/** Sets middle, clear distance and marks of a piece whose polynomial is set. */
function measure(piece: usize, depth: i32): void {
  let a: f64 = 0;
  let b: f64 = 0;
  let c: f64 = 0;
  let ab: f64 = 0;
  let bc: f64 = 0;
  let ca: f64 = 0;
  for (let d: usize = 0; d < 24; d += 8) {
    const k1 = k(piece, 1, d);
    const k2 = k(piece, 2, d);
    const k3 = k(piece, 3, d);
    const k4 = k(piece, 4, d);
    const k5 = k(piece, 5, d);
    // The corner (0, 0) from the middle (1/3, 1/3).
    const o = -((k1 + k2) / 3 + (k3 + k4 + k5) / 9);
    store<f64>(piece + MIDDLE + d, k(piece, 0, d) - o);
    a += o * o;
    b += (o + k1 + k3) * (o + k1 + k3);
    c += (o + k2 + k5) * (o + k2 + k5);
    const p = o + 0.5 * k1 + 0.25 * k3;
    const q = o + 0.5 * (k1 + k2) + 0.25 * (k3 + k4 + k5);
    const r = o + 0.5 * k2 + 0.25 * k5;
    ab += p * p;
    bc += q * q;
    ca += r * r;
  }
  store<f64>(piece + CLEARANCE, CLEAR * CLEAR * max(max(max(a, b), c), max(max(ab, bc), ca)));
  store<i32>(piece + CHILD, -1);
  store<i32>(piece + FILLED, -1);
  store<i32>(piece + DEPTH, depth);
}

/** Cuts a piece in two at the middle of its longest side. */
function split(piece: usize): void {
  let ab: f64 = 0;
  let bc: f64 = 0;
  let ca: f64 = 0;
  for (let d: usize = 0; d < 24; d += 8) {
    const b = k(piece, 1, d) + k(piece, 3, d);
    const c = k(piece, 2, d) + k(piece, 5, d);
    ab += b * b;
    ca += c * c;
    bc += (c - b) * (c - b);
  }
  // Corners (0, 0), (1, 0), (0, 1): from, middle, other; then middle, to, other.
  if (ab >= bc && ab >= ca) {
    part(piece, 0, 0, 0.5, 0, 0, 1);
    part(piece, 0.5, 0, 1, 0, 0, 1);
  } else if (bc >= ca) {
    part(piece, 1, 0, 0.5, 0.5, 0, 0);
    part(piece, 0.5, 0.5, 0, 1, 0, 0);
  } else {
    part(piece, 0, 1, 0, 0.5, 1, 0);
    part(piece, 0, 0.5, 0, 0, 1, 0);
  }
}

/** The part of a piece with the corners given, as a piece of its own. */
function part(parent: usize, u: f64, v: f64, bu: f64, bv: f64, cu: f64, cv: f64): void {
  const piece = base + PIECES + <usize>pieces * PIECE_BYTES;
  pieces++;
  const ub = bu - u;
  const vb = bv - v;
  const uc = cu - u;
  const vc = cv - v;
  for (let d: usize = 0; d < 24; d += 8) {
    const k1 = k(parent, 1, d);
    const k2 = k(parent, 2, d);
    const k3 = k(parent, 3, d);
    const k4 = k(parent, 4, d);
    const k5 = k(parent, 5, d);
    const xu = k1 + 2 * k3 * u + k4 * v;
    const xv = k2 + k4 * u + 2 * k5 * v;
    store<f64>(piece + d, k(parent, 0, d) + u * (k1 + k3 * u + k4 * v) + v * (k2 + k5 * v));
    store<f64>(piece + d, xu * ub + xv * vb, 24);
    store<f64>(piece + d, xu * uc + xv * vc, 48);
    store<f64>(piece + d, k3 * ub * ub + k4 * ub * vb + k5 * vb * vb, 72);
    store<f64>(piece + d, 2 * k3 * ub * uc + k4 * (ub * vc + uc * vb) + 2 * k5 * vb * vc, 96);
    store<f64>(piece + d, k3 * uc * uc + k4 * uc * vc + k5 * vc * vc, 120);
  }
  for (let d: usize = 0; d < 16; d += 8) {
    const a0 = load<f64>(parent + ST + d);
    const a1 = load<f64>(parent + ST + d, 16);
    const a2 = load<f64>(parent + ST + d, 32);
    store<f64>(piece + ST + d, a0 + a1 * u + a2 * v);
    store<f64>(piece + ST + d, a1 * ub + a2 * vb, 16);
    store<f64>(piece + ST + d, a1 * uc + a2 * vc, 32);
  }
  measure(piece, load<i32>(parent + DEPTH) + 1);
}

// @ts-ignore: decorator
@inline
function splat(at: usize): v128 {
  return f32x4.splat(<f32>load<f64>(at));
}

/** Address of the points of a piece, filled if need be. */
function pointsOf(piece: usize): usize {
  const known = load<i32>(piece + FILLED);
  if (known >= 0) return base + POINTS + <usize>known * 3 * group;
  let at = base + SPARE;
  if (filled < MOST_POINTS) {
    store<i32>(piece + FILLED, filled);
    at = base + POINTS + <usize>filled * 3 * group;
    filled++;
  }
  for (let r = rule, end = rule + 144; r < end; r += 48, at += group) {
    const u = v128.load(r);
    const v = v128.load(r, 16);
    const w = v128.load(r, 32);
    const uu = f32x4.mul(u, u);
    const uv = f32x4.mul(u, v);
    const vv = f32x4.mul(v, v);
    const ax = slopeU(piece, u, v);
    const ay = slopeU(piece + 8, u, v);
    const az = slopeU(piece + 16, u, v);
    const bx = slopeV(piece, u, v);
    const by = slopeV(piece + 8, u, v);
    const bz = slopeV(piece + 16, u, v);
    const nx = f32x4.mul(w, f32x4.sub(f32x4.mul(ay, bz), f32x4.mul(az, by)));
    const ny = f32x4.mul(w, f32x4.sub(f32x4.mul(az, bx), f32x4.mul(ax, bz)));
    const nz = f32x4.mul(w, f32x4.sub(f32x4.mul(ax, by), f32x4.mul(ay, bx)));
    v128.store(at, place(piece, u, v, uu, uv, vv));
    v128.store(at, place(piece + 8, u, v, uu, uv, vv), 16);
    v128.store(at, place(piece + 16, u, v, uu, uv, vv), 32);
    v128.store(at, nx, 48);
    v128.store(at, ny, 64);
    v128.store(at, nz, 80);
    v128.store(at, f32x4.sqrt(dot(nx, ny, nz, nx, ny, nz)), 96);
    polynomials(piece, u, v, at + 112);
  }
  return at - 3 * group;
}

// @ts-ignore: decorator
@inline
function slopeU(k: usize, u: v128, v: v128): v128 {
  return f32x4.add(
    splat(k + 24),
    f32x4.add(f32x4.mul(f32x4.splat(<f32>(2 * load<f64>(k, 72))), u), f32x4.mul(splat(k + 96), v)),
  );
}

// @ts-ignore: decorator
@inline
function slopeV(k: usize, u: v128, v: v128): v128 {
  return f32x4.add(
    splat(k + 48),
    f32x4.add(f32x4.mul(splat(k + 96), u), f32x4.mul(f32x4.splat(<f32>(2 * load<f64>(k, 120))), v)),
  );
}

/** Coordinate of the points from the middle of the piece. */
// @ts-ignore: decorator
@inline
function place(k: usize, u: v128, v: v128, uu: v128, uv: v128, vv: v128): v128 {
  const straight = f32x4.add(f32x4.mul(splat(k + 24), u), f32x4.mul(splat(k + 48), v));
  const bent = f32x4.add(f32x4.add(f32x4.mul(splat(k + 72), uu), f32x4.mul(splat(k + 96), uv)), f32x4.mul(splat(k + 120), vv));
  return f32x4.add(f32x4.splat(<f32>(load<f64>(k) - load<f64>(k, MIDDLE))), f32x4.add(straight, bent));
}

/** The polynomial of each node at the points. */
// @ts-ignore: decorator
@inline
function polynomials(piece: usize, u: v128, v: v128, at: usize): void {
  const st = piece + ST;
  const s = f32x4.add(splat(st), f32x4.add(f32x4.mul(splat(st + 16), u), f32x4.mul(splat(st + 32), v)));
  const t = f32x4.add(splat(st + 8), f32x4.add(f32x4.mul(splat(st + 24), u), f32x4.mul(splat(st + 40), v)));
  for (let f = basis, to = at, end = at + group - 112; to < end; f += 48, to += 16) {
    let value = f32x4.add(splat(f), f32x4.add(f32x4.mul(splat(f + 8), s), f32x4.mul(splat(f + 16), t)));
    if (six) {
      const inS = f32x4.add(f32x4.mul(splat(f + 24), s), f32x4.mul(splat(f + 32), t));
      value = f32x4.add(value, f32x4.add(f32x4.mul(inS, s), f32x4.mul(f32x4.mul(splat(f + 40), t), t)));
    }
    v128.store(to, value);
  }
}
