import { irregular } from './across.as';
import { across, offset4, regular } from './harmonics.as';
import {
  BOX, FALLING, FALLING_START, FAR, FAR_RUN, GROUP_START, LEAF_GROUP, LEAF_LIST, LEAF_LOCAL, LOCAL, MOMENT, MULTIPOLE,
  NEAR, NEAR_RUN, ORDER, RECURRENCE, SOURCE_COUNT, SOURCES, STRIDE, SUM, TARGET_COUNT, TARGETS, TERMS, TILE,
} from './layout';

const TILE_BYTES: usize = TILE * 28;

// @ts-ignore: decorator
@inline
function word(plan: usize, list: usize, i: i32): i32 {
  return load<i32>(<usize>load<i32>(plan + list) + (<usize>i << 2));
}

/** Potentials at the targets of the leaves [from, to): far, middle and near parts. */
export function finish(plan: usize, from: i32, to: i32, scratch: usize): void {
  for (let leaf = from; leaf < to; leaf++) {
    const box = word(plan, LEAF_LIST, leaf);
    for (let g = word(plan, LEAF_GROUP, leaf), last = word(plan, LEAF_GROUP, leaf + 1); g < last; g++) {
      const start = <usize>word(plan, GROUP_START, g);
      const end = <usize>word(plan, GROUP_START, g + 1);
      const sum = <usize>load<i32>(plan, SUM);
      memory.fill(sum + (start << 3), 0, (end - start) << 3);
      if (word(plan, LEAF_LOCAL, leaf)) expansion(plan, box, true, start, end, scratch);
      for (let f = word(plan, FAR_RUN, leaf), e = word(plan, FAR_RUN, leaf + 1); f < e; f++)
        expansion(plan, word(plan, FAR, f), false, start, end, scratch);
      near(plan, leaf, start, end, scratch, false);
    }
  }
}

/** The same with gradients. There are no multipoles to evaluate at targets in a plan with gradients. */
export function finishGradient(plan: usize, from: i32, to: i32, scratch: usize): void {
  const n = <usize>load<i32>(plan, TARGET_COUNT) << 3;
  for (let leaf = from; leaf < to; leaf++) {
    const box = word(plan, LEAF_LIST, leaf);
    for (let g = word(plan, LEAF_GROUP, leaf), last = word(plan, LEAF_GROUP, leaf + 1); g < last; g++) {
      const start = <usize>word(plan, GROUP_START, g);
      const end = <usize>word(plan, GROUP_START, g + 1);
      const sum = <usize>load<i32>(plan, SUM);
      for (let c: usize = 0; c < 4; c++) memory.fill(sum + c * n + (start << 3), 0, (end - start) << 3);
      if (word(plan, LEAF_LOCAL, leaf)) localGradient(plan, box, start, end, scratch);
      near(plan, leaf, start, end, scratch, true);
    }
  }
}

/** Adds the lanes of `v` to four doubles. */
// @ts-ignore: decorator
@inline
function add4(at: usize, v: v128): void {
  v128.store(at, f64x2.add(v128.load(at), f64x2.promote_low_f32x4(v)));
  v128.store(at, f64x2.add(v128.load(at, 16), f64x2.promote_low_f32x4(v128.shuffle<f32>(v, v, 2, 3, 2, 3))), 16);
}

/** Adds a local expansion (`inner`) or a multipole of a box at targets [start, end). */
function expansion(plan: usize, box: i32, inner: bool, start: usize, end: usize, scratch: usize): void {
  const terms = <usize>load<i32>(plan, TERMS);
  const order = load<i32>(plan, ORDER);
  const table = <usize>load<i32>(plan, RECURRENCE);
  const place = <usize>load<i32>(plan, BOX) + (<usize>box << 5);
  const inverse = 1 / load<f64>(place, 24);
  const factor = f64x2.splat(inverse);
  const n = <usize>load<i32>(plan, TARGET_COUNT) << 3;
  const coefficient =
    <usize>load<i32>(plan + (inner ? LOCAL : MULTIPOLE)) + <usize>box * (<usize>load<i32>(plan, STRIDE) << 2);
  for (let t = start; t < end; t += 4) {
    const p = <usize>load<i32>(plan, TARGETS) + (t << 3);
    const x = offset4(p, v128.load_splat<f64>(place), factor);
    const y = offset4(p + n, v128.load_splat<f64>(place, 8), factor);
    const z = offset4(p + 2 * n, v128.load_splat<f64>(place, 16), factor);
    let scale = f32x4.splat(1);
    if (inner) regular(table, order, x, y, z, scratch);
    else scale = f32x4.mul(irregular(table, order, x, y, z, scratch), f32x4.splat(<f32>inverse));
    let sum = f32x4.splat(0);
    for (let k: usize = 0; k < terms; k++)
      sum = f32x4.add(sum, f32x4.mul(v128.load_splat<f32>(coefficient + (k << 2)), v128.load(scratch + (k << 4))));
    add4(<usize>load<i32>(plan, SUM) + (t << 3), f32x4.mul(sum, scale));
  }
}

/** Adds a local expansion and its gradient: the coefficients of the derivatives are formed once a group. */
function localGradient(plan: usize, box: i32, start: usize, end: usize, scratch: usize): void {
  const terms = <usize>load<i32>(plan, TERMS);
  const stride = <usize>load<i32>(plan, STRIDE) << 2;
  const order = load<i32>(plan, ORDER);
  const table = <usize>load<i32>(plan, RECURRENCE);
  const place = <usize>load<i32>(plan, BOX) + (<usize>box << 5);
  const inverse = 1 / load<f64>(place, 24);
  const factor = f64x2.splat(inverse);
  const n = <usize>load<i32>(plan, TARGET_COUNT) << 3;
  const local = <usize>load<i32>(plan, LOCAL) + <usize>box * stride;
  const parts = scratch + (terms << 4);
  memory.copy(parts, local, stride);
  memory.fill(parts + stride, 0, 3 * stride);
  const rule = <usize>load<i32>(plan, FALLING);
  const first = <usize>load<i32>(plan, FALLING_START);
  for (let c: usize = 0; c < 3; c++)
    for (let e = load<i32>(first + (c << 2)), last = load<i32>(first + (c << 2), 4); e < last; e++) {
      const r = rule + <usize>e * 12;
      const to = parts + (c + 1) * stride + (<usize>load<i32>(r, 4) << 2);
      store<f32>(to, load<f32>(to) + <f32>inverse * load<f32>(r, 8) * load<f32>(local + (<usize>load<i32>(r) << 2)));
    }
  for (let t = start; t < end; t += 4) {
    const p = <usize>load<i32>(plan, TARGETS) + (t << 3);
    const x = offset4(p, v128.load_splat<f64>(place), factor);
    const y = offset4(p + n, v128.load_splat<f64>(place, 8), factor);
    const z = offset4(p + 2 * n, v128.load_splat<f64>(place, 16), factor);
    regular(table, order, x, y, z, scratch);
    for (let c: usize = 0; c < 4; c++) {
      let sum = f32x4.splat(0);
      const part = parts + c * stride;
      for (let k: usize = 0; k < terms; k++)
        sum = f32x4.add(sum, f32x4.mul(v128.load_splat<f32>(part + (k << 2)), v128.load(scratch + (k << 4))));
      add4(<usize>load<i32>(plan, SUM) + c * n + (t << 3), sum);
    }
  }
}

/**
 * Direct sums over the near sources of a leaf. Sources are copied a tile at a time, relative to the middle of the few
 * targets at hand: then single precision loses nothing even where points are much closer than the box is wide.
 */
function near(plan: usize, leaf: i32, start: usize, end: usize, scratch: usize, gradient: bool): void {
  const n = <usize>load<i32>(plan, TARGET_COUNT) << 3;
  const targets = <usize>load<i32>(plan, TARGETS);
  const cx = middle(targets, start, end);
  const cy = middle(targets + n, start, end);
  const cz = middle(targets + 2 * n, start, end);
  let tile = scratch;
  const full = scratch + TILE_BYTES;
  for (let r = word(plan, NEAR_RUN, leaf), last = word(plan, NEAR_RUN, leaf + 1); r < last; r++) {
    const range = <usize>load<i32>(plan, NEAR) + (<usize>r << 3);
    const stop = <usize>load<i32>(range, 4);
    for (let s = <usize>load<i32>(range); s < stop; s += 4) {
      copy(plan, s, cx, cy, cz, tile);
      tile += 112;
      if (tile === full) {
        sumTile(plan, start, end, cx, cy, cz, scratch, tile, gradient);
        tile = scratch;
      }
    }
  }
  if (tile !== scratch) sumTile(plan, start, end, cx, cy, cz, scratch, tile, gradient);
}

function middle(at: usize, start: usize, end: usize): f64 {
  let low = load<f64>(at + (start << 3));
  let high = low;
  for (let t = start + 1; t < end; t++) {
    const v = load<f64>(at + (t << 3));
    low = min(low, v);
    high = max(high, v);
  }
  return 0.5 * (low + high);
}

/** Four sources as seven vectors: x, y, z relative to the origin given, charge, dipole. */
// @ts-ignore: decorator
@inline
function copy(plan: usize, s: usize, cx: f64, cy: f64, cz: f64, to: usize): void {
  const n = <usize>load<i32>(plan, SOURCE_COUNT);
  const p = <usize>load<i32>(plan, SOURCES) + (s << 3);
  const m = <usize>load<i32>(plan, MOMENT) + (s << 2);
  v128.store(to, relative(p, cx));
  v128.store(to, relative(p + (n << 3), cy), 16);
  v128.store(to, relative(p + (n << 4), cz), 32);
  v128.store(to, v128.load(m), 48);
  v128.store(to, v128.load(m + (n << 2)), 64);
  v128.store(to, v128.load(m + (n << 3)), 80);
  v128.store(to, v128.load(m + n * 12), 96);
}

// @ts-ignore: decorator
@inline
function relative(at: usize, origin: f64): v128 {
  const c = f64x2.splat(origin);
  return v128.shuffle<f32>(
    f32x4.demote_f64x2_zero(f64x2.sub(v128.load(at), c)),
    f32x4.demote_f64x2_zero(f64x2.sub(v128.load(at, 16), c)),
    0, 1, 4, 5,
  );
}

function sumTile(
  plan: usize, start: usize, end: usize, cx: f64, cy: f64, cz: f64, tile: usize, stop: usize, gradient: bool,
): void {
  const n = <usize>load<i32>(plan, TARGET_COUNT) << 3;
  const sum = <usize>load<i32>(plan, SUM);
  for (let t = start; t < end; t += 2) {
    const p = <usize>load<i32>(plan, TARGETS) + (t << 3);
    const x0 = f32x4.splat(<f32>(load<f64>(p) - cx));
    const y0 = f32x4.splat(<f32>(load<f64>(p + n) - cy));
    const z0 = f32x4.splat(<f32>(load<f64>(p + 2 * n) - cz));
    const x1 = f32x4.splat(<f32>(load<f64>(p, 8) - cx));
    const y1 = f32x4.splat(<f32>(load<f64>(p + n, 8) - cy));
    const z1 = f32x4.splat(<f32>(load<f64>(p + 2 * n, 8) - cz));
    const to = sum + (t << 3);
    if (gradient) {
      gradientSums(x0, y0, z0, tile, stop, to, n);
      gradientSums(x1, y1, z1, tile, stop, to + 8, n);
      continue;
    }
    let a0 = f32x4.splat(0);
    let a1 = f32x4.splat(0);
    for (let s = tile; s < stop; s += 112) {
      const x = v128.load(s);
      const y = v128.load(s, 16);
      const z = v128.load(s, 32);
      const q = v128.load(s, 48);
      const mx = v128.load(s, 64);
      const my = v128.load(s, 80);
      const mz = v128.load(s, 96);
      a0 = f32x4.add(a0, pair(f32x4.sub(x0, x), f32x4.sub(y0, y), f32x4.sub(z0, z), q, mx, my, mz));
      a1 = f32x4.add(a1, pair(f32x4.sub(x1, x), f32x4.sub(y1, y), f32x4.sub(z1, z), q, mx, my, mz));
    }
    store<f64>(to, load<f64>(to) + <f64>across(a0));
    store<f64>(to, load<f64>(to, 8) + <f64>across(a1), 8);
  }
}

// @ts-ignore: decorator
@inline
function dot(a: v128, b: v128, c: v128, x: v128, y: v128, z: v128): v128 {
  return f32x4.add(f32x4.add(f32x4.mul(a, x), f32x4.mul(b, y)), f32x4.mul(c, z));
}

/** 1 / r^2, and 0 where r is 0: a point does not act on itself. */
// @ts-ignore: decorator
@inline
function inverseSquare(dx: v128, dy: v128, dz: v128): v128 {
  const r2 = dot(dx, dy, dz, dx, dy, dz);
  return v128.and(f32x4.div(f32x4.splat(1), r2), f32x4.gt(r2, f32x4.splat(0)));
}

/** Charge over r plus dipole along the way over r^3. */
// @ts-ignore: decorator
@inline
function pair(dx: v128, dy: v128, dz: v128, q: v128, mx: v128, my: v128, mz: v128): v128 {
  const inv2 = inverseSquare(dx, dy, dz);
  return f32x4.mul(f32x4.sqrt(inv2), f32x4.add(q, f32x4.mul(dot(dx, dy, dz, mx, my, mz), inv2)));
}

function gradientSums(x0: v128, y0: v128, z0: v128, tile: usize, stop: usize, to: usize, n: usize): void {
  let u = f32x4.splat(0);
  let gx = f32x4.splat(0);
  let gy = f32x4.splat(0);
  let gz = f32x4.splat(0);
  for (let s = tile; s < stop; s += 112) {
    const dx = f32x4.sub(x0, v128.load(s));
    const dy = f32x4.sub(y0, v128.load(s, 16));
    const dz = f32x4.sub(z0, v128.load(s, 32));
    const q = v128.load(s, 48);
    const mx = v128.load(s, 64);
    const my = v128.load(s, 80);
    const mz = v128.load(s, 96);
    const inv2 = inverseSquare(dx, dy, dz);
    const inv = f32x4.sqrt(inv2);
    const inv3 = f32x4.mul(inv, inv2);
    const along = f32x4.mul(dot(dx, dy, dz, mx, my, mz), inv2);
    u = f32x4.add(u, f32x4.mul(inv, f32x4.add(q, along)));
    const c = f32x4.add(q, f32x4.mul(f32x4.splat(3), along));
    gx = f32x4.add(gx, f32x4.mul(inv3, f32x4.sub(mx, f32x4.mul(c, dx))));
    gy = f32x4.add(gy, f32x4.mul(inv3, f32x4.sub(my, f32x4.mul(c, dy))));
    gz = f32x4.add(gz, f32x4.mul(inv3, f32x4.sub(mz, f32x4.mul(c, dz))));
  }
  store<f64>(to, load<f64>(to) + <f64>across(u));
  store<f64>(to + n, load<f64>(to + n) + <f64>across(gx));
  store<f64>(to + 2 * n, load<f64>(to + 2 * n) + <f64>across(gy));
  store<f64>(to + 3 * n, load<f64>(to + 3 * n) + <f64>across(gz));
}
