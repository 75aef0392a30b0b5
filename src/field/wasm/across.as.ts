import { across, offset4, regular } from './harmonics.as';
import {
  BATCH, BATCH_RUN, BATCH_WORDS, BOX, DROP, INTO, INTO_LIST, INTO_RUN, LOCAL, LOWER_LIST, MOMENT, MULTIPOLE, OCTANT,
  ORDER, PARENT, RECURRENCE, RISING, RISING_START, SIGNS, SOURCE_COUNT, SOURCE_END, SOURCE_START, SOURCES, STRIDE,
  TERMS, TRANSFER,
} from './layout';
import { addMoments, addShifted } from './upward.as';

// @ts-ignore: decorator
@inline
function word(plan: usize, list: usize, i: i32): i32 {
  return load<i32>(<usize>load<i32>(plan + list) + (<usize>i << 2));
}

/** Multipole to local expansions for the tasks [from, to): eight pairs of boxes with the same offset at a time. */
export function transfer(plan: usize, from: i32, to: i32, scratch: usize): void {
  const terms = <usize>load<i32>(plan, TERMS);
  const stride = <usize>load<i32>(plan, STRIDE);
  const matrices = <usize>load<i32>(plan, TRANSFER);
  const out = scratch + (stride << 5);
  const last = word(plan, BATCH_RUN, to);
  for (let b = word(plan, BATCH_RUN, from); b < last; b++) {
    const batch = <usize>load<i32>(plan, BATCH) + <usize>b * (BATCH_WORDS * 4);
    collect(plan, batch, stride, scratch);
    multiply(matrices + <usize>load<i32>(batch) * (stride * terms * 4), terms, stride, scratch, out);
    deal(plan, batch, stride, out);
  }
}

/** Address of pair `lane` of a batch; the first pair stands in for lanes past the count. */
// @ts-ignore: decorator
@inline
function pairAt(batch: usize, lane: i32): usize {
  return batch + 8 + (lane < load<i32>(batch, 4) ? <usize>lane * 12 : 0);
}

/** Lays the (mirrored) multipoles of a batch side by side: [STRIDE][8]. Lanes past the count repeat the first pair. */
function collect(plan: usize, batch: usize, stride: usize, into: usize): void {
  const multipole = <usize>load<i32>(plan, MULTIPOLE);
  const signs = <usize>load<i32>(plan, SIGNS);
  for (let half = 0; half < 8; half += 4) {
    const t0 = pairAt(batch, half + 0);
    const t1 = pairAt(batch, half + 1);
    const t2 = pairAt(batch, half + 2);
    const t3 = pairAt(batch, half + 3);
    const m0 = multipole + <usize>load<i32>(t0) * (stride << 2);
    const m1 = multipole + <usize>load<i32>(t1) * (stride << 2);
    const m2 = multipole + <usize>load<i32>(t2) * (stride << 2);
    const m3 = multipole + <usize>load<i32>(t3) * (stride << 2);
    const s0 = signs + <usize>load<i32>(t0, 8) * (stride << 2);
    const s1 = signs + <usize>load<i32>(t1, 8) * (stride << 2);
    const s2 = signs + <usize>load<i32>(t2, 8) * (stride << 2);
    const s3 = signs + <usize>load<i32>(t3, 8) * (stride << 2);
    let to = into + (half << 2);
    for (let k: usize = 0; k < stride << 2; k += 16) {
      const a = f32x4.mul(v128.load(m0 + k), v128.load(s0 + k));
      const b = f32x4.mul(v128.load(m1 + k), v128.load(s1 + k));
      const c = f32x4.mul(v128.load(m2 + k), v128.load(s2 + k));
      const d = f32x4.mul(v128.load(m3 + k), v128.load(s3 + k));
      const ab = v128.shuffle<f32>(a, b, 0, 4, 1, 5);
      const cd = v128.shuffle<f32>(c, d, 0, 4, 1, 5);
      const ef = v128.shuffle<f32>(a, b, 2, 6, 3, 7);
      const gh = v128.shuffle<f32>(c, d, 2, 6, 3, 7);
      v128.store(to, v128.shuffle<f32>(ab, cd, 0, 1, 4, 5));
      v128.store(to, v128.shuffle<f32>(ab, cd, 2, 3, 6, 7), 32);
      v128.store(to, v128.shuffle<f32>(ef, gh, 0, 1, 4, 5), 64);
      v128.store(to, v128.shuffle<f32>(ef, gh, 2, 3, 6, 7), 96);
      to += 128;
    }
  }
}

/** out [STRIDE][8] = matrix [STRIDE / 4][TERMS][4] times in [TERMS][8]. */
function multiply(matrix: usize, terms: usize, stride: usize, input: usize, output: usize): void {
  let t = matrix;
  let y = output;
  for (let k: usize = 0; k < stride; k += 4) {
    let a0 = f32x4.splat(0);
    let a1 = a0;
    let b0 = a0;
    let b1 = a0;
    let c0 = a0;
    let c1 = a0;
    let d0 = a0;
    let d1 = a0;
    for (let x = input, end = input + (terms << 5); x < end; x += 32) {
      const x0 = v128.load(x);
      const x1 = v128.load(x, 16);
      const ta = v128.load_splat<f32>(t);
      const tb = v128.load_splat<f32>(t, 4);
      const tc = v128.load_splat<f32>(t, 8);
      const td = v128.load_splat<f32>(t, 12);
      a0 = f32x4.add(a0, f32x4.mul(ta, x0));
      a1 = f32x4.add(a1, f32x4.mul(ta, x1));
      b0 = f32x4.add(b0, f32x4.mul(tb, x0));
      b1 = f32x4.add(b1, f32x4.mul(tb, x1));
      c0 = f32x4.add(c0, f32x4.mul(tc, x0));
      c1 = f32x4.add(c1, f32x4.mul(tc, x1));
      d0 = f32x4.add(d0, f32x4.mul(td, x0));
      d1 = f32x4.add(d1, f32x4.mul(td, x1));
      t += 16;
    }
    v128.store(y, a0);
    v128.store(y, a1, 16);
    v128.store(y, b0, 32);
    v128.store(y, b1, 48);
    v128.store(y, c0, 64);
    v128.store(y, c1, 80);
    v128.store(y, d0, 96);
    v128.store(y, d1, 112);
    y += 128;
  }
}

/** Adds each lane of a batch, mirrored back and divided by the side, to the local expansion of its target box. */
function deal(plan: usize, batch: usize, stride: usize, from: usize): void {
  const local = <usize>load<i32>(plan, LOCAL);
  const signs = <usize>load<i32>(plan, SIGNS);
  const boxes = <usize>load<i32>(plan, BOX);
  const count = load<i32>(batch, 4);
  for (let lane = 0; lane < count; lane++) {
    const triple = batch + 8 + <usize>lane * 12;
    const box = <usize>load<i32>(triple, 4);
    const scale = f32x4.splat(<f32>(1 / load<f64>(boxes + (box << 5), 24)));
    const to = local + box * (stride << 2);
    const sign = signs + <usize>load<i32>(triple, 8) * (stride << 2);
    let y = from + (lane << 2);
    for (let k: usize = 0; k < stride << 2; k += 16) {
      let v = f32x4.splat(load<f32>(y));
      v = f32x4.replace_lane(v, 1, load<f32>(y, 32));
      v = f32x4.replace_lane(v, 2, load<f32>(y, 64));
      v = f32x4.replace_lane(v, 3, load<f32>(y, 96));
      v128.store(to + k, f32x4.add(v128.load(to + k), f32x4.mul(f32x4.mul(v, scale), v128.load(sign + k))));
      y += 128;
    }
  }
}

/** Sources of coarse leaves straight into the local expansions of the boxes [from, to) of the into list. */
export function into(plan: usize, from: i32, to: i32, scratch: usize): void {
  const order = load<i32>(plan, ORDER) + 1;
  const more = (order + 1) * (order + 1);
  const table = <usize>load<i32>(plan, RECURRENCE);
  const n = <usize>load<i32>(plan, SOURCE_COUNT);
  const position = <usize>load<i32>(plan, SOURCES);
  const moment = <usize>load<i32>(plan, MOMENT);
  const sums = scratch + (<usize>more << 4);
  for (let i = from; i < to; i++) {
    const box = <usize>word(plan, INTO_LIST, i);
    const place = <usize>load<i32>(plan, BOX) + (box << 5);
    const inverse = 1 / load<f64>(place, 24);
    const factor = f64x2.splat(inverse);
    const cx = v128.load_splat<f64>(place);
    const cy = v128.load_splat<f64>(place, 8);
    const cz = v128.load_splat<f64>(place, 16);
    memory.fill(sums, 0, <usize>more << 6);
    for (let r = word(plan, INTO_RUN, i), last = word(plan, INTO_RUN, i + 1); r < last; r++) {
      const leaf = word(plan, INTO, r);
      for (let s = <usize>word(plan, SOURCE_START, leaf), end = <usize>word(plan, SOURCE_END, leaf); s < end; s += 4) {
        const p = position + (s << 3);
        const inv = irregular(
          table, order, offset4(p, cx, factor), offset4(p + (n << 3), cy, factor), offset4(p + (n << 4), cz, factor), scratch,
        );
        for (let k = scratch, e = scratch + (<usize>more << 4); k < e; k += 16)
          v128.store(k, f32x4.mul(v128.load(k), inv));
        addMoments(moment + (s << 2), n << 2, scratch, more, sums);
      }
    }
    addLocal(plan, box, sums, <f32>inverse);
  }
}

/** `regular` at the inverted points; irregular functions are these times the returned 1 / r. */
// @ts-ignore: decorator
@inline
export function irregular(table: usize, order: i32, x: v128, y: v128, z: v128, out: usize): v128 {
  const r2 = f32x4.add(f32x4.add(f32x4.mul(x, x), f32x4.mul(y, y)), f32x4.mul(z, z));
  const inv2 = f32x4.div(f32x4.splat(1), r2);
  regular(table, order, f32x4.mul(x, inv2), f32x4.mul(y, inv2), f32x4.mul(z, inv2), out);
  return f32x4.sqrt(inv2);
}

function addLocal(plan: usize, box: usize, sums: usize, inverse: f32): void {
  const terms = load<i32>(plan, TERMS);
  const local = <usize>load<i32>(plan, LOCAL) + box * (<usize>load<i32>(plan, STRIDE) << 2);
  for (let k = 0; k < terms; k++) {
    const at = local + (<usize>k << 2);
    store<f32>(at, load<f32>(at) + inverse * across(v128.load(sums + (<usize>k << 6))));
  }
  const rule = <usize>load<i32>(plan, RISING);
  const start = <usize>load<i32>(plan, RISING_START);
  for (let c: usize = 0; c < 3; c++)
    for (let e = load<i32>(start + (c << 2)), end = load<i32>(start + (c << 2), 4); e < end; e++) {
      const r = rule + <usize>e * 12;
      const at = local + (<usize>load<i32>(r) << 2);
      const part = across(v128.load(sums + (<usize>load<i32>(r, 4) << 6) + ((c + 1) << 4)));
      store<f32>(at, load<f32>(at) + inverse * inverse * load<f32>(r, 8) * part);
    }
}

/** Local expansions of the boxes [from, to) of the lower list: adds that of the parent. */
export function lower(plan: usize, from: i32, to: i32, scratch: usize): void {
  const terms = <usize>load<i32>(plan, TERMS);
  const stride = <usize>load<i32>(plan, STRIDE) << 2;
  const local = <usize>load<i32>(plan, LOCAL);
  for (let i = from; i < to; i++) {
    const box = word(plan, LOWER_LIST, i);
    const rule = <usize>load<i32>(plan, DROP) + <usize>word(plan, OCTANT, box) * terms * stride;
    const up = local + <usize>word(plan, PARENT, box) * stride;
    addShifted(local + <usize>box * stride, up, rule, terms, stride, false);
  }
}
