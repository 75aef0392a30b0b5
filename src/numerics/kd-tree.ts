/**
 * A balanced tree of boxes over fixed points: who is within a radius, and which points form compact clusters.
 * Points are never moved; `order` lists them so that each box owns a contiguous stretch.
 */
export interface KdTree {
  /** Point numbers, box by box. */
  order: Int32Array;
  /** Stretch [first, last) of `order` in each box. */
  first: Int32Array;
  last: Int32Array;
  /** Children of each box, -1 for a leaf. Box 0 is the root (absent when there are no points). */
  left: Int32Array;
  right: Int32Array;
  /** Lower and upper corner, six numbers a box. */
  bounds: Float64Array;
  boxes: number;
}

/**
 * @param position xyz after xyz
 * @param from first point, `to` one past the last: the tree is over that stretch only
 * @param leafSize boxes with at most this many points are not cut further
 */
export function buildKdTree(position: Float64Array, from: number, to: number, leafSize: number): KdTree {
  const n = to - from;
  const most = Math.max(1, 4 * Math.ceil(n / Math.max(1, leafSize)) + 1);
  const tree: KdTree = {
    order: Int32Array.from({ length: n }, (_, i) => from + i),
    first: new Int32Array(most),
    last: new Int32Array(most),
    left: new Int32Array(most).fill(-1),
    right: new Int32Array(most).fill(-1),
    bounds: new Float64Array(6 * most),
    boxes: 0,
  };
  if (n === 0) return tree;
  tree.boxes = 1;
  tree.last[0] = n;
  for (let box = 0; box < tree.boxes; box++) {
    measure(tree, position, box);
    const size = tree.last[box] - tree.first[box];
    if (size <= leafSize) continue;
    let axis = 0;
    const b = 6 * box;
    for (let d = 1; d < 3; d++)
      if (tree.bounds[b + 3 + d] - tree.bounds[b + d] > tree.bounds[b + 3 + axis] - tree.bounds[b + axis])
        axis = d;
    const middle = tree.first[box] + (size >> 1);
    select(tree.order, position, axis, tree.first[box], tree.last[box] - 1, middle);
    tree.left[box] = addBox(tree, tree.first[box], middle);
    tree.right[box] = addBox(tree, middle, tree.last[box]);
  }
  return tree;
}

function addBox(tree: KdTree, first: number, last: number): number {
  tree.first[tree.boxes] = first;
  tree.last[tree.boxes] = last;
  return tree.boxes++;
}

function measure(tree: KdTree, position: Float64Array, box: number): void {
  const b = 6 * box;
  for (let d = 0; d < 3; d++) {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (let k = tree.first[box]; k < tree.last[box]; k++) {
      const v = position[3 * tree.order[k] + d];
      if (v < low) low = v;
      if (v > high) high = v;
    }
    tree.bounds[b + d] = low;
    tree.bounds[b + 3 + d] = high;
  }
}

/** Hoare's selection: afterwards order[middle] has the rank `middle` along the axis. */
function select(
  order: Int32Array,
  position: Float64Array,
  axis: number,
  low: number,
  high: number,
  middle: number,
): void {
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
    if (middle <= j) high = j;
    else if (middle >= i) low = i;
    else return;
  }
}

/** Calls `found` for every point within `radius` of (x, y, z). */
export function eachWithin(
  tree: KdTree,
  position: Float64Array,
  x: number,
  y: number,
  z: number,
  radius: number,
  found: (point: number) => void,
): void {
  if (tree.boxes === 0) return;
  const r2 = radius * radius;
  const stack = [0];
  while (stack.length > 0) {
    const box = stack.pop()!;
    const b = 6 * box;
    const dx = Math.max(tree.bounds[b] - x, 0, x - tree.bounds[b + 3]);
    const dy = Math.max(tree.bounds[b + 1] - y, 0, y - tree.bounds[b + 4]);
    const dz = Math.max(tree.bounds[b + 2] - z, 0, z - tree.bounds[b + 5]);
    if (dx * dx + dy * dy + dz * dz > r2) continue;
    if (tree.left[box] >= 0) {
      stack.push(tree.left[box], tree.right[box]);
      continue;
    }
    for (let k = tree.first[box]; k < tree.last[box]; k++) {
      const i = tree.order[k];
      const px = position[3 * i] - x;
      const py = position[3 * i + 1] - y;
      const pz = position[3 * i + 2] - z;
      if (px * px + py * py + pz * pz <= r2) found(i);
    }
  }
}

/** Number of the point nearest to (x, y, z); -1 for an empty tree. `position` is what the tree was built over. */
export function nearestPoint(tree: KdTree, position: Float64Array, x: number, y: number, z: number): number {
  let best = -1;
  let least = Number.POSITIVE_INFINITY;
  const visit = (box: number): void => {
    if (boxDistance(tree.bounds, 6 * box, x, y, z) >= least) return;
    const [left, right] = [tree.left[box]!, tree.right[box]!];
    if (left < 0) {
      for (let k = tree.first[box]!; k < tree.last[box]!; k++) {
        const i = tree.order[k]!;
        const d =
          (position[3 * i]! - x) ** 2 + (position[3 * i + 1]! - y) ** 2 + (position[3 * i + 2]! - z) ** 2;
        if (d < least) {
          least = d;
          best = i;
        }
      }
      return;
    }
    const leftFirst =
      boxDistance(tree.bounds, 6 * left, x, y, z) <= boxDistance(tree.bounds, 6 * right, x, y, z);
    visit(leftFirst ? left : right);
    visit(leftFirst ? right : left);
  };
  if (tree.boxes > 0) visit(0);
  return best;
}

/** Square of the distance from a point to a box. */
function boxDistance(bounds: Float64Array, b: number, x: number, y: number, z: number): number {
  const out = (v: number, d: number): number => Math.max(bounds[b + d]! - v, 0, v - bounds[b + 3 + d]!);
  return out(x, 0) ** 2 + out(y, 1) ** 2 + out(z, 2) ** 2;
}
