import * as L from '../wasm/layout.js';
import type { Block } from './block.js';
import type { Groups } from './groups.js';
import { grouped, OFFSETS } from './lists.js';
import type { Octree } from './tree.js';

/**
 * Pairs of boxes a task of `transfer`: so many that pairs of one offset fill their batches, so few that there is a task
 * for every hand. The split does not change a sum.
 */
const pairsPerTask = (pairs: number): number => Math.min(4096, Math.max(1536, pairs / 16));

/**
 * Sorts the transfers by task (a run of target boxes, so that no two threads write one box) and by offset, and packs
 * pairs of one offset eight at a time. Returns the number of tasks.
 */
export function layTransfers(block: Block, tree: Octree, transfer: Int32Array): number {
  const pairs = transfer.length / 4;
  const perBox = new Int32Array(tree.count);
  for (let e = 0; e < transfer.length; e += 4) perBox[transfer[e]]++;
  const task = new Int32Array(tree.count);
  const most = pairsPerTask(pairs);
  let tasks = pairs > 0 ? 1 : 0;
  for (let b = 0, held = 0; b < tree.count; b++) {
    if (held + perBox[b] > most && held > 0) {
      tasks++;
      held = 0;
    }
    held += perBox[b];
    task[b] = tasks - 1;
  }
  const start = new Int32Array(tasks * OFFSETS + 1);
  const keyOf = (e: number): number => task[transfer[e]] * OFFSETS + transfer[e + 2];
  for (let e = 0; e < transfer.length; e += 4) start[keyOf(e) + 1]++;
  const first = new Int32Array(start.length);
  for (let k = 0; k + 1 < start.length; k++) {
    first[k + 1] = first[k] + ((start[k + 1] + 7) >> 3);
  }
  const batch = new Int32Array(first[first.length - 1] * L.BATCH_WORDS);
  const filled = new Int32Array(tasks * OFFSETS);
  for (let e = 0; e < transfer.length; e += 4) {
    const key = keyOf(e);
    const lane = filled[key]++;
    const at = (first[key] + (lane >> 3)) * L.BATCH_WORDS;
    batch[at] = transfer[e + 2];
    batch[at + 1] = (lane & 7) + 1;
    const to = at + 2 + 3 * (lane & 7);
    batch[to] = transfer[e + 1];
    batch[to + 1] = transfer[e];
    batch[to + 2] = transfer[e + 3];
  }
  block.put(L.BATCH, batch);
  block.put(
    L.BATCH_RUN,
    Int32Array.from({ length: tasks + 1 }, (_, t) => first[t * OFFSETS]),
  );
  return tasks;
}

export function layInto(block: Block, tree: Octree, into: Int32Array): number {
  const place = new Int32Array(tree.count).fill(-1);
  const boxes: number[] = [];
  for (let e = 0; e < into.length; e += 2)
    if (place[into[e]] < 0) {
      place[into[e]] = boxes.length;
      boxes.push(into[e]);
    }
  const { run, rest } = grouped(into, 2, place, boxes.length);
  block.put(L.INTO_LIST, Int32Array.from(boxes));
  block.put(L.INTO_RUN, run);
  block.put(L.INTO, rest);
  return boxes.length;
}

/** Near and far lists of the leaves with targets. */
export function layLeaves(
  block: Block,
  tree: Octree,
  groups: Groups,
  near: Int32Array,
  far: Int32Array,
  hasLocal: Uint8Array,
): void {
  const { leaves } = groups;
  const place = new Int32Array(tree.count).fill(-1);
  leaves.forEach((b, i) => {
    place[b] = i;
  });
  const byLeaf = grouped(near, 2, place, leaves.length);
  const farByLeaf = grouped(far, 2, place, leaves.length);
  const ranges = mergedRanges(byLeaf.run, byLeaf.rest, tree);
  block.put(L.LEAF_LIST, leaves);
  block.put(L.LEAF_GROUP, groups.first);
  block.put(L.GROUP_START, groups.start);
  block.put(
    L.LEAF_LOCAL,
    leaves.map((b) => hasLocal[b]),
  );
  block.put(L.NEAR_RUN, ranges.run);
  block.put(L.NEAR, ranges.range);
  block.put(L.FAR_RUN, farByLeaf.run);
  block.put(L.FAR, farByLeaf.rest);
}

/** Near source boxes as ranges in tree order, neighbours joined. */
function mergedRanges(
  run: Int32Array,
  boxes: Int32Array,
  tree: Octree,
): { run: Int32Array; range: Int32Array } {
  const { start, end } = tree.sources;
  const merged = new Int32Array(run.length);
  const range = new Int32Array(2 * boxes.length);
  let n = 0;
  for (let leaf = 0; leaf + 1 < run.length; leaf++) {
    merged[leaf] = n / 2;
    const sorted = boxes.slice(run[leaf], run[leaf + 1]).sort((a, b) => start[a] - start[b]);
    const first = n;
    for (const b of sorted) {
      if (n > first && range[n - 1] === start[b]) range[n - 1] = end[b];
      else {
        range[n++] = start[b];
        range[n++] = end[b];
      }
    }
  }
  merged[run.length - 1] = n / 2;
  return { run: merged, range: range.subarray(0, n) };
}
