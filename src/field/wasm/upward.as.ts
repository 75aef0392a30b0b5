import { across, offset4, regular } from './harmonics.as';
import {
  BOX, CHARGE, CHILD, CHILDREN, DIPOLE, FALLING, FALLING_START, LIFT, LIFT_LIST, MOMENT, MULTIPOLE, OCTANT, ORDER,
  RECURRENCE, SCALE, SOURCE_COUNT, SOURCE_END, SOURCE_NORMAL, SOURCE_POINT, SOURCE_START, SOURCES, SPREAD_LIST,
  STRIDE, TERMS,
} from './layout';

// @ts-ignore: decorator
@inline
function entry(plan: usize, list: usize, i: i32): usize {
  return <usize>load<i32>(<usize>load<i32>(plan + list) + (<usize>i << 2));
}

/** Charges and dipoles of the sources [from, to) in tree order, scaled, in single precision. */
export function gather(plan: usize, from: i32, to: i32, scratch: usize): void {
  const n = <usize>load<i32>(plan, SOURCE_COUNT) << 2;
  const charge = <usize>load<i32>(plan, CHARGE);
  const dipole = <usize>load<i32>(plan, DIPOLE);
  const scale = load<f64>(<usize>load<i32>(plan, SCALE));
  const point = <usize>load<i32>(plan, SOURCE_POINT);
  const normal = <usize>load<i32>(plan, SOURCE_NORMAL);
  const moment = <usize>load<i32>(plan, MOMENT);
  for (let i = from; i < to; i++) {
    const o = <usize>i << 2;
    const j = load<i32>(point + o);
    let q: f32 = 0;
    let d: f32 = 0;
    if (j >= 0) {
      q = <f32>(load<f64>(charge + (<usize>j << 3)) * scale);
      d = <f32>(load<f64>(dipole + (<usize>j << 3)) * scale);
    }
    store<f32>(moment + o, q);
    store<f32>(moment + n + o, d * load<f32>(normal + o));
    store<f32>(moment + 2 * n + o, d * load<f32>(normal + n + o));
    store<f32>(moment + 3 * n + o, d * load<f32>(normal + 2 * n + o));
  }
}

/** Multipoles of the boxes [from, to) of the spread list from their own sources. */
export function spread(plan: usize, from: i32, to: i32, scratch: usize): void {
  const terms = load<i32>(plan, TERMS);
  const order = load<i32>(plan, ORDER);
  const table = <usize>load<i32>(plan, RECURRENCE);
  const n = <usize>load<i32>(plan, SOURCE_COUNT);
  const position = <usize>load<i32>(plan, SOURCES);
  const moment = <usize>load<i32>(plan, MOMENT);
  const sums = scratch + (<usize>terms << 4);
  for (let i = from; i < to; i++) {
    const box = entry(plan, SPREAD_LIST, i);
    const place = <usize>load<i32>(plan, BOX) + (box << 5);
    const inverse = 1 / load<f64>(place, 24);
    const factor = f64x2.splat(inverse);
    const cx = v128.load_splat<f64>(place);
    const cy = v128.load_splat<f64>(place, 8);
    const cz = v128.load_splat<f64>(place, 16);
    memory.fill(sums, 0, <usize>terms << 6);
    const end = <usize>load<i32>(<usize>load<i32>(plan, SOURCE_END) + (box << 2));
    for (let s = <usize>load<i32>(<usize>load<i32>(plan, SOURCE_START) + (box << 2)); s < end; s += 4) {
      const p = position + (s << 3);
      regular(table, order, offset4(p, cx, factor), offset4(p + (n << 3), cy, factor), offset4(p + (n << 4), cz, factor), scratch);
      addMoments(moment + (s << 2), n << 2, scratch, terms, sums);
    }
    collect(plan, box, sums, terms, <f32>inverse);
  }
}

/** Adds the harmonics of four sources times their charge and the three parts of their dipole to four sums a term. */
export function addMoments(moment: usize, n: usize, harmonic: usize, terms: i32, sums: usize): void {
  const q = v128.load(moment);
  const mx = v128.load(moment + n);
  const my = v128.load(moment + 2 * n);
  const mz = v128.load(moment + 3 * n);
  let out = sums;
  for (let k = harmonic, end = harmonic + (<usize>terms << 4); k < end; k += 16) {
    const b = v128.load(k);
    v128.store(out, f32x4.add(v128.load(out), f32x4.mul(b, q)));
    v128.store(out, f32x4.add(v128.load(out, 16), f32x4.mul(b, mx)), 16);
    v128.store(out, f32x4.add(v128.load(out, 32), f32x4.mul(b, my)), 32);
    v128.store(out, f32x4.add(v128.load(out, 48), f32x4.mul(b, mz)), 48);
    out += 64;
  }
}

/** Charge sums as they are, dipole sums through the derivatives of the functions, into the multipole of a box. */
function collect(plan: usize, box: usize, sums: usize, terms: i32, inverse: f32): void {
  const multipole = <usize>load<i32>(plan, MULTIPOLE) + box * (<usize>load<i32>(plan, STRIDE) << 2);
  for (let k = 0; k < terms; k++)
    store<f32>(multipole + (<usize>k << 2), across(v128.load(sums + (<usize>k << 6))));
  const rule = <usize>load<i32>(plan, FALLING);
  const start = <usize>load<i32>(plan, FALLING_START);
  for (let c: usize = 0; c < 3; c++)
    for (let e = load<i32>(start + (c << 2)), end = load<i32>(start + (c << 2), 4); e < end; e++) {
      const r = rule + <usize>e * 12;
      const to = multipole + (<usize>load<i32>(r) << 2);
      const part = across(v128.load(sums + (<usize>load<i32>(r, 4) << 6) + ((c + 1) << 4)));
      store<f32>(to, load<f32>(to) + inverse * load<f32>(r, 8) * part);
    }
}

/** Multipoles of the boxes [from, to) of the lift list from those of their children. */
export function lift(plan: usize, from: i32, to: i32, scratch: usize): void {
  const terms = <usize>load<i32>(plan, TERMS);
  const stride = <usize>load<i32>(plan, STRIDE) << 2;
  const multipole = <usize>load<i32>(plan, MULTIPOLE);
  for (let i = from; i < to; i++) {
    const box = entry(plan, LIFT_LIST, i);
    const up = multipole + box * stride;
    memory.fill(up, 0, stride);
    let child = entry(plan, CHILD, <i32>box);
    for (let last = child + entry(plan, CHILDREN, <i32>box); child < last; child++) {
      if (entry(plan, SOURCE_END, <i32>child) === entry(plan, SOURCE_START, <i32>child)) continue;
      const rule = <usize>load<i32>(plan, LIFT) + entry(plan, OCTANT, <i32>child) * terms * stride;
      addShifted(up, multipole + child * stride, rule, terms, stride, true);
    }
  }
}

/**
 * Adds a shifted expansion: to_k += sum_j rule_jk from_j. A coefficient of degree l goes into those of the same degree
 * and above (`rising`, child to parent) or below (parent to child), so only part of each row counts.
 */
export function addShifted(to: usize, from: usize, rule: usize, terms: usize, stride: usize, rising: bool): void {
  let row = rule;
  let low: usize = 0;
  let high: usize = stride;
  let degree: usize = 0;
  for (let j: usize = 0; j < terms; j++) {
    if (j === (degree + 1) * (degree + 1)) degree++;
    if (rising) low = ((degree * degree) << 2) & ~15;
    else high = ((((degree + 1) * (degree + 1)) << 2) + 15) & ~15;
    const f = v128.load_splat<f32>(from + (j << 2));
    for (let k = low; k < high; k += 16)
      v128.store(to + k, f32x4.add(v128.load(to + k), f32x4.mul(f, v128.load(row + k))));
    row += stride;
  }
}
