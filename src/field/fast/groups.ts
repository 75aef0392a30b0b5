import type { Octree } from './tree.js';

/** Targets that share one copy of the near sources. */
const GROUP = 16;

/** The leaves with targets, in tree order, and their targets in small compact groups. */
export interface Groups {
  leaves: Int32Array;
  /** [leaves + 1]: first group of each leaf. */
  first: Int32Array;
  /** [groups + 1]: first target of each group, in tree order. */
  start: Int32Array;
}

/** Reorders the targets within each leaf so that groups are compact, and says where they begin. */
export function groupTargets(tree: Octree, position: Float64Array): Groups {
  const { start, end, held, order } = tree.targets;
  const leaves: number[] = [];
  for (let b = 0; b < tree.count; b++) if (tree.children[b] === 0 && held[b] > 0) leaves.push(b);
  leaves.sort((a, b) => start[a] - start[b]);
  const groups: number[] = [];
  const first: number[] = [];
  for (const b of leaves) {
    first.push(groups.length);
    splitGroup(order, start[b], start[b] + held[b], position, (s) => groups.push(s));
  }
  first.push(groups.length);
  groups.push(leaves.length > 0 ? end[leaves[leaves.length - 1]] : 0);
  return { leaves: Int32Array.from(leaves), first: Int32Array.from(first), start: Int32Array.from(groups) };
}

/** Orders [start, end) so that runs of at most GROUP, multiples of 4 but for the last, are compact; reports run starts. */
function splitGroup(
  order: Int32Array,
  start: number,
  end: number,
  position: Float64Array,
  report: (start: number) => void,
): void {
  const n = end - start;
  if (n <= GROUP) {
    report(start);
    return;
  }
  const axis = widestAxis(order, start, end, position);
  const middle = start + 4 * Math.round(n / 8);
  selectNth(order, start, end - 1, middle, position, axis);
  splitGroup(order, start, middle, position, report);
  splitGroup(order, middle, end, position, report);
}

function widestAxis(order: Int32Array, start: number, end: number, position: Float64Array): number {
  let best = 0;
  let width = -1;
  for (let c = 0; c < 3; c++) {
    let low = Infinity;
    let high = -Infinity;
    for (let i = start; i < end; i++) {
      const v = position[3 * order[i] + c];
      if (v < low) low = v;
      if (v > high) high = v;
    }
    if (high - low > width) {
      width = high - low;
      best = c;
    }
  }
  return best;
}

/** Quickselect: the items before place `nth` are not larger along the axis than those from it on. */
function selectNth(
  order: Int32Array,
  from: number,
  to: number,
  nth: number,
  position: Float64Array,
  axis: number,
): void {
  let low = from;
  let high = to;
  while (low < high) {
    const pivot = position[3 * order[(low + high) >> 1] + axis];
    let i = low;
    let j = high;
    while (i <= j) {
      while (position[3 * order[i] + axis] < pivot) i++;
      while (position[3 * order[j] + axis] > pivot) j--;
      if (i <= j) {
        const swap = order[i];
        order[i++] = order[j];
        order[j--] = swap;
      }
    }
    if (nth <= j) high = j;
    else if (nth >= i) low = i;
    else return;
  }
}
