import type { Octree } from './tree.js';

/** A list of integers that grows. */
export class IntList {
  #data = new Int32Array(1024);
  length = 0;
  push(value: number): void {
    if (this.length === this.#data.length) {
      const larger = new Int32Array(2 * this.length);
      larger.set(this.#data);
      this.#data = larger;
    }
    this.#data[this.length++] = value;
  }
  pushPair(a: number, b: number): void {
    this.push(a);
    this.push(b);
  }
  view(): Int32Array {
    return this.#data.subarray(0, this.length);
  }
}

/** Which box acts on which, and how. Every pair of source and target is in exactly one list. */
export interface Interactions {
  /** (target leaf, source box): all sources of the box, one by one. */
  near: Int32Array;
  /** (target box, source box, offset number, mirror bits): multipole to local, same level. */
  transfer: Int32Array;
  /** (target box, source leaf): sources into the local expansion. */
  into: Int32Array;
  /** (target leaf, source box): multipole at the targets. */
  far: Int32Array;
}

/** Below how many points each kind of expansion costs more than direct summation. */
export interface Thresholds {
  /** Sources times targets below which two leaves are summed directly though they are apart. */
  pairs: number;
  /** Points of one side below which an expansion of the other is not worth while. */
  points: number;
  /** False where multipoles cannot be evaluated at targets (gradients). */
  far: boolean;
}

/** Number of an offset with components 0..3, not all below 2: 0..55, -1 for neighbours. */
export const OFFSET_NUMBER = new Int32Array(64).fill(-1);
let numbered = 0;
for (let o = 0; o < 64; o++)
  if ((o & 3) > 1 || ((o >> 2) & 3) > 1 || o >> 4 > 1) OFFSET_NUMBER[o] = numbered++;
export const OFFSETS = numbered;

/** Walks pairs of boxes from the root; divides the larger until they are apart or both are leaves. */
export function findInteractions(tree: Octree, thresholds: Thresholds): Interactions {
  const near = new IntList();
  const transfer = new IntList();
  const into = new IntList();
  const far = new IntList();
  const { level, cell, child, children } = tree;
  const sourcesIn = tree.sources.held;
  const targetsIn = tree.targets.held;

  const apart = (a: number, b: number): boolean => {
    const down = level[b] - level[a];
    for (let c = 0; c < 3; c++) {
      const i = cell[3 * a + c];
      const j = cell[3 * b + c];
      if (
        down >= 0
          ? j + 1 < i * 2 ** down || j > (i + 1) * 2 ** down
          : i + 1 < j * 2 ** -down || i > (j + 1) * 2 ** -down
      )
        return true;
    }
    return false;
  };

  const pushTransfer = (a: number, b: number): void => {
    let offset = 0;
    let mirror = 0;
    for (let c = 0; c < 3; c++) {
      const d = cell[3 * a + c] - cell[3 * b + c];
      if (d < 0) mirror |= 1 << c;
      offset |= Math.abs(d) << (2 * c);
    }
    transfer.pushPair(a, b);
    transfer.pushPair(OFFSET_NUMBER[offset], mirror);
  };

  /** a holds targets, b sources, and they do not touch. */
  const separate = (a: number, b: number): void => {
    const leaves = children[a] === 0 && children[b] === 0;
    if (leaves && targetsIn[a] * sourcesIn[b] <= thresholds.pairs) near.pushPair(a, b);
    else if (level[a] === level[b]) pushTransfer(a, b);
    else if (level[a] < level[b])
      if (thresholds.far && sourcesIn[b] > thresholds.points) far.pushPair(a, b);
      else near.pushPair(a, b);
    else if (children[a] === 0 && targetsIn[a] <= thresholds.points) near.pushPair(a, b);
    else into.pushPair(a, b);
  };

  const visit = (a: number, b: number): void => {
    if (targetsIn[a] === 0 || sourcesIn[b] === 0) return;
    if (apart(a, b)) {
      separate(a, b);
      return;
    }
    const divideA = children[a] > 0 && (level[a] <= level[b] || children[b] === 0);
    const divideB = children[b] > 0 && (level[b] <= level[a] || children[a] === 0);
    if (divideA && divideB)
      for (let i = 0; i < children[a]; i++)
        for (let j = 0; j < children[b]; j++) visit(child[a] + i, child[b] + j);
    else if (divideA) for (let i = 0; i < children[a]; i++) visit(child[a] + i, b);
    else if (divideB) for (let j = 0; j < children[b]; j++) visit(a, child[b] + j);
    else near.pushPair(a, b);
  };
  visit(0, 0);
  return { near: near.view(), transfer: transfer.view(), into: into.view(), far: far.view() };
}

/**
 * Groups entries of `width` integers by their first one: `run[i]`..`run[i + 1]` are the entries whose first integer
 * has number i in `place` (an array from that integer to 0..count-1).
 */
export function grouped(
  entries: Int32Array,
  width: number,
  place: Int32Array,
  count: number,
): { run: Int32Array; rest: Int32Array } {
  const run = new Int32Array(count + 1);
  for (let e = 0; e < entries.length; e += width) run[place[entries[e]] + 1]++;
  for (let i = 0; i < count; i++) run[i + 1] += run[i];
  const next = run.slice();
  const rest = new Int32Array((entries.length / width) * (width - 1));
  for (let e = 0; e < entries.length; e += width) {
    const to = next[place[entries[e]]]++ * (width - 1);
    for (let w = 1; w < width; w++) rest[to + w - 1] = entries[e + w];
  }
  return { run, rest };
}
