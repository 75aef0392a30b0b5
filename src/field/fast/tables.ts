import * as L from '../wasm/layout.js';
import type { Arena } from './arena.js';
import {
  derivativeRules,
  mirrorSigns,
  type Rule,
  recurrenceFactors,
  shiftMatrix,
  termCount,
  transferMatrix,
} from './harmonics.js';
import { OFFSET_NUMBER, OFFSETS } from './lists.js';

/** Addresses of what depends on the order of the expansions alone; one set an arena and order, kept. */
export interface Tables {
  order: number;
  terms: number;
  stride: number;
  /** Values for the words of a plan, by offset of the word. */
  words: ReadonlyMap<number, number>;
}

const kept = new WeakMap<Arena, Map<number, Tables>>();

export function tablesFor(arena: Arena, order: number): Tables {
  let byOrder = kept.get(arena);
  if (!byOrder) {
    byOrder = new Map();
    kept.set(arena, byOrder);
  }
  let tables = byOrder.get(order);
  if (!tables) {
    tables = makeTables(arena, order);
    byOrder.set(order, tables);
  }
  return tables;
}

function makeTables(arena: Arena, order: number): Tables {
  const terms = termCount(order);
  const stride = (terms + 3) & ~3;
  const words = new Map<number, number>();
  const put = (word: number, data: Float32Array | Int32Array): void => {
    const at = arena.take(data.byteLength);
    const Type = data.constructor as Float32ArrayConstructor;
    new Type(arena.memory.buffer, at, data.length).set(data);
    words.set(word, at);
  };
  put(L.RECURRENCE, Float32Array.from(recurrenceFactors(order + 1, L.MAX_ORDER + 2)));
  for (const [kind, word, start] of [
    ['falling', L.FALLING, L.FALLING_START],
    ['rising', L.RISING, L.RISING_START],
  ] as const) {
    const rules = derivativeRules(order, kind);
    put(word, packed(rules.flat()));
    const [x, y, z] = rules.map((r) => r.length);
    put(start, Int32Array.of(0, x, x + y, x + y + z));
  }
  put(L.TRANSFER, transfers(order, terms, stride));
  const signs = new Float32Array(8 * stride);
  for (let flips = 0; flips < 8; flips++) signs.set(mirrorSigns(order, flips), flips * stride);
  put(L.SIGNS, signs);
  const { lift, drop } = shifts(order, terms, stride);
  put(L.LIFT, lift);
  put(L.DROP, drop);
  return { order, terms, stride, words };
}

/** Triples (of, from, factor) of 12 bytes. */
function packed(rules: Rule[]): Int32Array {
  const out = new Int32Array(3 * rules.length);
  const float = new Float32Array(out.buffer);
  rules.forEach(({ of, from, factor }, i) => {
    out[3 * i] = of;
    out[3 * i + 1] = from;
    float[3 * i + 2] = factor;
  });
  return out;
}

/** [56][stride / 4][terms][4]: four rows side by side, so that one run through the columns serves four rows. */
function transfers(order: number, terms: number, stride: number): Float32Array {
  const out = new Float32Array(OFFSETS * stride * terms);
  for (let o = 0; o < 64; o++) {
    if (OFFSET_NUMBER[o] < 0) continue;
    const matrix = transferMatrix(order, o & 3, (o >> 2) & 3, o >> 4);
    const base = OFFSET_NUMBER[o] * stride * terms;
    for (let k = 0; k < terms; k++) {
      const row = base + (k >> 2) * terms * 4 + (k & 3);
      for (let j = 0; j < terms; j++) out[row + 4 * j] = matrix[k * terms + j];
    }
  }
  return out;
}

/**
 * [8][terms][stride] by octant of the child: multipoles from child to parent, and the transposed rule that takes local
 * expansions from parent to child; lengths in units of the side of the box each is about.
 */
function shifts(order: number, terms: number, stride: number): { lift: Float32Array; drop: Float32Array } {
  const lift = new Float32Array(8 * terms * stride);
  const drop = new Float32Array(8 * terms * stride);
  for (let o = 0; o < 8; o++) {
    const matrix = shiftMatrix(order, (o & 1) - 0.5, ((o >> 1) & 1) - 0.5, (o >> 2) - 0.5);
    for (let k = 0; k < terms; k++) {
      const half = 2 ** -Math.floor(Math.sqrt(k));
      for (let j = 0; j < terms; j++) {
        const value = half * matrix[k * terms + j];
        lift[(o * terms + j) * stride + k] = value;
        drop[(o * terms + k) * stride + j] = value;
      }
    }
  }
  return { lift, drop };
}
