/** Near corrections: integrals over panels less the sums over their points (near.ts), and their use. */
import { across } from './harmonics.as';
import { beginFlat, integrateFlat } from './near-flat.as';
import {
  BASIS, COEF, COUNT, ENTRY_HOW, ENTRY_OBSERVER, ENTRY_SLOT, ENTRY_START, KIND, MIRROR, NODE_ST, NODE_START,
  OBSERVER_POSITION, OUT, ROW_COUNT, ROW_DENSITY, ROW_DENSITY_AT, ROW_PANEL, ROW_START, ROW_VALUE, ROW_VALUE_START,
  ROW_WORDS, ROWS, SAME_BODY, SOURCE_NORMAL, SOURCE_POSITION, SOURCE_WEIGHT, TASK_WORDS, TASKS, VALUE,
} from './near-layout';
import { integrateOwn } from './near-own.as';
import { beginPieces, integratePieces, rootClear } from './near-pieces.as';

const INV_4PI: f64 = 1 / (4 * 3.14159265358979323846);
/** Parts of the scratch: monomials (12 f64), then the values of the entry: single and double layer, six f64 each. */
const MONOMIALS: usize = 192;
const RESULT: usize = 288;

const FLAT = 1;
const SHEET = 2;
const INWARD = 4;
const DIRECT = 1;
const MIRRORED = 2;

// @ts-ignore: decorator
@inline
function word(plan: usize, list: usize, i: i32): i32 {
  return load<i32>(<usize>load<i32>(plan + list) + (<usize>i << 2));
}

/** Values of all entries of the panels [from, to). */
export function nearIntegrals(plan: usize, from: i32, to: i32, scratch: usize): void {
  const observers = <usize>load<i32>(plan, ENTRY_OBSERVER);
  const hows = <usize>load<i32>(plan, ENTRY_HOW);
  const slots = <usize>load<i32>(plan, ENTRY_SLOT);
  const positions = <usize>load<i32>(plan, OBSERVER_POSITION);
  const value = <usize>load<i32>(plan, VALUE);
  const mirror = load<f64>(<usize>load<i32>(plan, MIRROR));
  const result = scratch + RESULT;
  for (let p = from; p < to; p++) {
    const count = <usize>word(plan, COUNT, p);
    const node = word(plan, NODE_START, p);
    const coef = <usize>load<i32>(plan, COEF) + <usize>p * 144;
    beginPieces(plan, coef, count, scratch);
    if (word(plan, KIND, p) & FLAT) beginFlat(coef);
    for (let e = <usize>word(plan, ENTRY_START, p), end = <usize>word(plan, ENTRY_START, p + 1); e < end; e++) {
      const i = load<i32>(observers + (e << 2));
      const how = <i32>load<u8>(hows + e);
      const at = positions + <usize>i * 24;
      const x = load<f64>(at);
      const y = load<f64>(at, 8);
      const z = load<f64>(at, 16);
      memory.fill(result, 0, 96);
      if (how & DIRECT) {
        const own = load<i32>(plan, SAME_BODY) && i >= node && i < node + <i32>count ? i - node : -1;
        addIntegral(plan, p, coef, count, x, y, z, own, scratch);
        subtractPoints(plan, p, node, count, x, y, z, own < 0 ? -1 : i, result);
      }
      if (how & MIRRORED) {
        addIntegral(plan, p, coef, count, x, y, 2 * mirror - z, -1, scratch);
        subtractPoints(plan, p, node, count, x, y, 2 * mirror - z, -1, result);
      }
      const out = value + (<usize>load<i32>(slots + (e << 2)) << 2);
      for (let k: usize = 0; k < count; k++) {
        store<f32>(out + (k << 2), <f32>load<f64>(result + (k << 3)));
        store<f32>(out + ((count + k) << 2), <f32>load<f64>(result + (k << 3), 48));
      }
    }
  }
}

/** `own`: number of the observer among the panel's own nodes, or -1. */
function addIntegral(
  plan: usize, p: i32, coef: usize, count: usize, x: f64, y: f64, z: f64, own: i32, scratch: usize,
): void {
  const kind = word(plan, KIND, p);
  const single: f64 = kind & SHEET ? 2 * INV_4PI : INV_4PI;
  const double: f64 = kind & SHEET ? 0 : kind & INWARD ? -INV_4PI : INV_4PI;
  const result = scratch + RESULT;
  const m = scratch + MONOMIALS;
  const degree: usize = count === 1 ? 0 : count === 3 ? 1 : 2;
  if (kind & FLAT && (own >= 0 || !rootClear(x, y, z))) integrateFlat(x, y, z, own >= 0, m);
  else if (own >= 0) {
    const st = <usize>load<i32>(plan, NODE_ST) + degree * 96 + (<usize>own << 4);
    integrateOwn(plan, coef, load<f64>(st), load<f64>(st, 8), m);
  } else {
    integratePieces(x, y, z, single, double, result);
    return;
  }
  const basis = <usize>load<i32>(plan, BASIS) + degree * 288;
  for (let k: usize = 0; k < count; k++) {
    let g: f64 = 0;
    let h: f64 = 0;
    for (let j: usize = 0; j < count; j++) {
      const f = load<f64>(basis + k * 48 + (j << 3));
      g += f * load<f64>(m + (j << 3));
      h += f * load<f64>(m + (j << 3), 48);
    }
    store<f64>(result + (k << 3), load<f64>(result + (k << 3)) + g * single);
    store<f64>(result + (k << 3), load<f64>(result + (k << 3), 48) + h * double, 48);
  }
}

function subtractPoints(
  plan: usize, p: i32, node: i32, count: usize, x: f64, y: f64, z: f64, skip: i32, result: usize,
): void {
  const dipoles: f64 = word(plan, KIND, p) & SHEET ? 0 : 1;
  for (let k: usize = 0; k < count; k++) {
    if (node + <i32>k === skip) continue;
    const j = <usize>node + k;
    const at = <usize>load<i32>(plan, SOURCE_POSITION) + j * 24;
    const n = <usize>load<i32>(plan, SOURCE_NORMAL) + j * 24;
    const dx = x - load<f64>(at);
    const dy = y - load<f64>(at, 8);
    const dz = z - load<f64>(at, 16);
    const r2 = dx * dx + dy * dy + dz * dz;
    if (r2 === 0) continue;
    const inv2 = 1 / r2;
    const inv = sqrt(inv2) * load<f64>(<usize>load<i32>(plan, SOURCE_WEIGHT) + (j << 3)) * INV_4PI;
    const r = result + (k << 3);
    store<f64>(r, load<f64>(r) - inv);
    const along = load<f64>(n) * dx + load<f64>(n, 8) * dy + load<f64>(n, 16) * dz;
    store<f64>(r, load<f64>(r, 48) - dipoles * inv * inv2 * along, 48);
  }
}

/** Rows of the tasks [from, to) times the densities, into OUT. */
export function nearApply(plan: usize, from: i32, to: i32, _scratch: usize): void {
  for (let i = from; i < to; i++) {
    const task = <usize>load<i32>(plan, TASKS) + <usize>i * (TASK_WORDS * 4);
    const out = <usize>load<i32>(plan, OUT) + (<usize>load<i32>(task) << 3);
    const first = load<i32>(task, 4);
    const end = load<i32>(task, 8);
    for (let b = load<i32>(task, 12), last = load<i32>(task, 16); b < last; b++) {
      const block = <usize>load<i32>(plan, ROWS) + <usize>b * (ROW_WORDS * 4);
      for (let r = first; r < end; r++) {
        const at = out + (<usize>r << 3);
        store<f64>(at, load<f64>(at) + row(block, r));
      }
    }
  }
}

/** One row times the densities. Values of a panel: single layer by node, double layer by node; densities likewise. */
// @ts-ignore: decorator
@inline
function row(block: usize, r: i32): f64 {
  const density = <usize>load<i32>(block, ROW_DENSITY);
  const densityAt = <usize>load<i32>(block, ROW_DENSITY_AT);
  const counts = <usize>load<i32>(block, ROW_COUNT);
  let value = <usize>load<i32>(block, ROW_VALUE) + (<usize>word(block, ROW_VALUE_START, r) << 2);
  let entry = <usize>load<i32>(block, ROW_PANEL) + (<usize>word(block, ROW_START, r) << 2);
  const end = <usize>load<i32>(block, ROW_PANEL) + (<usize>word(block, ROW_START, r + 1) << 2);
  let a = f32x4.splat(0);
  let b = f32x4.splat(0);
  for (; entry < end; entry += 4) {
    const p = <usize>load<i32>(entry) << 2;
    const x = density + <usize>load<i32>(densityAt + p);
    const count = load<i32>(counts + p);
    if (count === 3) {
      // Six numbers by two overlapping loads; the second half of the densities starts with two zeros.
      a = f32x4.add(a, f32x4.mul(v128.load(value), v128.load(x)));
      b = f32x4.add(b, f32x4.mul(v128.load(value, 8), v128.load(x, 16)));
      value += 24;
    } else if (count === 6) {
      a = f32x4.add(a, f32x4.mul(v128.load(value), v128.load(x)));
      b = f32x4.add(b, f32x4.mul(v128.load(value, 16), v128.load(x, 16)));
      a = f32x4.add(a, f32x4.mul(v128.load(value, 32), v128.load(x, 32)));
      value += 48;
    } else {
      a = f32x4.add(a, f32x4.mul(v128.load64_zero(value), v128.load64_zero(x)));
      value += 8;
    }
  }
  return <f64>across(f32x4.add(a, b));
}
