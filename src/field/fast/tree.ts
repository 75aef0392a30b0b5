/**
 * An adaptive octree over sources and targets. Boxes hold contiguous ranges of both (tree order), empty boxes are not
 * kept, boxes stand level by level. Leaf ranges are padded to multiples of 4, so that the kernels need no odd ends.
 */
export interface Octree {
  count: number;
  /** Centre and side of each box [m], [count][4]. */
  place: Float64Array;
  level: Int32Array;
  /** Integer position of each box on its level, [count][3]. */
  cell: Int32Array;
  parent: Int32Array;
  octant: Int32Array;
  /** First child (0 = leaf) and number of children; children are neighbours in the list. */
  child: Int32Array;
  children: Int32Array;
  sources: TreeOrder;
  targets: TreeOrder;
}

/** Points in tree order and the range of each box. */
export interface TreeOrder {
  /** Number of the point in each place, -1 for padding. */
  order: Int32Array;
  start: Int32Array;
  end: Int32Array;
  /** Points in each box without the padding. */
  held: Int32Array;
}

/** Deep enough for clusters a millionth of the whole; points closer than that stay in one leaf. */
const MAX_LEVEL = 22;

/** Positions are xyz after xyz [m]. `capacity`: points of a kind above which a box is divided. */
export function buildOctree(sources: Float64Array, targets: Float64Array, capacity: number): Octree {
  const place: number[] = rootBox(sources, targets);
  const level = [0];
  const cell = [0, 0, 0];
  const parent = [-1];
  const octant = [0];
  const child: number[] = [];
  const children: number[] = [];
  const s = new Partition(sources);
  const t = new Partition(targets);
  for (let b = 0; b < parent.length; b++) {
    child.push(0);
    children.push(0);
    if (level[b] >= MAX_LEVEL || Math.max(s.held(b), t.held(b)) <= capacity) continue;
    const x = place[4 * b];
    const y = place[4 * b + 1];
    const z = place[4 * b + 2];
    const quarter = 0.25 * place[4 * b + 3];
    s.divide(b, x, y, z);
    t.divide(b, x, y, z);
    for (let o = 0; o < 8; o++) {
      if (!s.take(o, t.split[o] < t.split[o + 1]) || !t.take(o, true)) continue;
      if (children[b] === 0) child[b] = parent.length;
      children[b]++;
      const right = o & 1;
      const back = (o >> 1) & 1;
      const up = o >> 2;
      place.push(x + (2 * right - 1) * quarter, y + (2 * back - 1) * quarter, z + (2 * up - 1) * quarter);
      place.push(2 * quarter);
      cell.push(2 * cell[3 * b] + right, 2 * cell[3 * b + 1] + back, 2 * cell[3 * b + 2] + up);
      level.push(level[b] + 1);
      parent.push(b);
      octant.push(o);
    }
  }
  const tree = {
    count: parent.length,
    place: Float64Array.from(place),
    level: Int32Array.from(level),
    cell: Int32Array.from(cell),
    parent: Int32Array.from(parent),
    octant: Int32Array.from(octant),
    child: Int32Array.from(child),
    children: Int32Array.from(children),
  };
  return { ...tree, sources: padded(s, tree), targets: padded(t, tree) };
}

/** Part of the side by which the root box is larger than it need be. */
const SPARE = 0.1;
/** Must stay below SPARE / 2 / (1 + SPARE), or points fall out of the box. */
const SHIFT = [0.028, 0.042, -0.021];

/**
 * Centre and side of a cube around everything, larger and off centre: people's set-ups are symmetric and their finest
 * parts stand at corners and on middle planes, and points crowded into a corner of a box are what an expansion about
 * its centre does worst. Measured: errors fall 2 to 10 times for nothing.
 */
function rootBox(...clouds: Float64Array[]): number[] {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const cloud of clouds)
    for (let i = 0; i < cloud.length; i++) {
      const c = i % 3;
      if (cloud[i] < low[c]) low[c] = cloud[i];
      if (cloud[i] > high[c]) high[c] = cloud[i];
    }
  if (!(high[0] >= low[0])) return [0, 0, 0, 1];
  const middle = low.map((v, c) => 0.5 * (v + high[c]));
  const extent = Math.max(...low.map((v, c) => high[c] - v));
  // A single point still needs a box that is not lost in rounding.
  const size = Math.max(...middle.map(Math.abs), 1e-30);
  const side = (1 + SPARE) * Math.max(extent, size * 1e-9);
  return [...middle.map((v, c) => v + SHIFT[c] * side), side];
}

/** Ranges of points, divided in place by octant. */
class Partition {
  readonly order: Int32Array;
  readonly start = [0];
  readonly end: number[];
  readonly split = new Int32Array(9);
  readonly #scratch: Int32Array;
  readonly #octant: Uint8Array;
  readonly #position: Float64Array;

  constructor(position: Float64Array) {
    const n = position.length / 3;
    this.#position = position;
    this.order = Int32Array.from({ length: n }, (_, i) => i);
    this.end = [n];
    this.#scratch = new Int32Array(n);
    this.#octant = new Uint8Array(n);
  }

  held(box: number): number {
    return this.end[box] - this.start[box];
  }

  /** Sorts the range of a box by octant of (x, y, z); `split` then holds the nine bounds. */
  divide(box: number, x: number, y: number, z: number): void {
    const { order, split } = this;
    const p = this.#position;
    const start = this.start[box];
    const end = this.end[box];
    split.fill(0);
    for (let i = start; i < end; i++) {
      const j = 3 * order[i];
      const o = (p[j] >= x ? 1 : 0) | (p[j + 1] >= y ? 2 : 0) | (p[j + 2] >= z ? 4 : 0);
      this.#octant[i] = o;
      split[o + 1]++;
    }
    split[0] = start;
    for (let o = 0; o < 8; o++) split[o + 1] += split[o];
    const next = split.slice();
    for (let i = start; i < end; i++) this.#scratch[next[this.#octant[i]]++] = order[i];
    order.set(this.#scratch.subarray(start, end), start);
  }

  /** Makes octant `o` of the last division the range of the next box; false when nothing is in it. */
  take(o: number, evenEmpty: boolean): boolean {
    if (this.split[o] === this.split[o + 1] && !evenEmpty) return false;
    this.start.push(this.split[o]);
    this.end.push(this.split[o + 1]);
    return true;
  }
}

type Family = Pick<Octree, 'count' | 'child' | 'children'>;

/** Tree order with every leaf filled up to a multiple of 4. */
function padded(points: Partition, tree: Family): TreeOrder {
  const start = new Int32Array(tree.count);
  const end = new Int32Array(tree.count);
  const held = Int32Array.from({ length: tree.count }, (_, b) => points.held(b));
  let total = 0;
  for (const h of leafSizes(held, tree)) total += (h + 3) & ~3;
  const order = new Int32Array(total).fill(-1);
  let next = 0;
  const visit = (b: number): void => {
    start[b] = next;
    if (tree.children[b] === 0) {
      order.set(points.order.subarray(points.start[b], points.end[b]), next);
      next += (held[b] + 3) & ~3;
    } else for (let c = 0; c < tree.children[b]; c++) visit(tree.child[b] + c);
    end[b] = next;
  };
  visit(0);
  return { order, start, end, held };
}

function* leafSizes(held: Int32Array, tree: Family): Iterable<number> {
  for (let b = 0; b < tree.count; b++) if (tree.children[b] === 0) yield held[b];
}
