import type { Watch } from '../../numerics/index.js';
import type { Shells } from './shells.js';
import type { Soup } from './soup.js';

export interface Crossings {
  /** Pairs of faces that cross: of different shells, and of the same. */
  between: number;
  within: number;
  /** False where the search was broken off (many crossings found, or too many faces near each other). */
  complete: boolean;
}

const ENOUGH = 1000;
/** Looks at pairs beyond this many, and fifty for each face, are not taken (a few seconds). */
const BUDGET = 2e7;
const BUDGET_PER_FACE = 50;
const LEAF = 8;
/** Crossings shallower than this share of the size are touching, not crossing. */
const DEPTH = 1e-6;

/** Finds faces that run through each other, by a tree of boxes. Faces that share a corner are neighbours and skipped. */
export function findCrossings(soup: Soup, shells: Shells, size: number, watch: Watch): Crossings {
  const tree = new BoxTree(soup);
  const result: Crossings = { between: 0, within: 0, complete: true };
  const eps = DEPTH * size;
  const budget = BUDGET + BUDGET_PER_FACE * (soup.triangles.length / 3);
  let work = 0;
  let next = 0;
  const stack: [number, number][] = [[0, 0]];
  while (stack.length) {
    const [p, q] = stack.pop()!;
    if (work >= next) {
      next = work + 100_000;
      if (watch.cancelled()) return { ...result, complete: false };
    }
    if (++work > budget || result.between + result.within >= ENOUGH) return { ...result, complete: false };
    if (p !== q && !tree.boxesMeet(p, q)) continue;
    if (tree.isLeaf(p) && tree.isLeaf(q)) {
      const [from, to] = tree.range(p);
      const [start, end] = tree.range(q);
      for (let i = from; i < to; i++)
        for (let j = p === q ? i + 1 : start; j < end; j++) {
          work++;
          const s = tree.items[i]!;
          const t = tree.items[j]!;
          if (!tree.facesMeet(s, t) || shareCorner(soup.triangles, s, t) || !cross(soup, s, t, eps)) continue;
          if (shells.shell[s] === shells.shell[t]) result.within++;
          else result.between++;
        }
    } else if (p === q) {
      const [a, b] = tree.children(p);
      stack.push([a, a], [b, b], [a, b]);
    } else if (tree.isLeaf(q) || (!tree.isLeaf(p) && tree.count(p) >= tree.count(q))) {
      const [a, b] = tree.children(p);
      stack.push([a, q], [b, q]);
    } else {
      const [a, b] = tree.children(q);
      stack.push([p, a], [p, b]);
    }
  }
  return result;
}

function shareCorner(triangles: Uint32Array, s: number, t: number): boolean {
  for (let i = 3 * s; i < 3 * s + 3; i++)
    for (let j = 3 * t; j < 3 * t + 3; j++) if (triangles[i] === triangles[j]) return true;
  return false;
}

/** Do two faces run through each other, by more than eps on both sides of each? */
function cross(soup: Soup, s: number, t: number, eps: number): boolean {
  const ds = heights(soup, s, t);
  if (!straddles(ds, eps)) return false;
  const dt = heights(soup, t, s);
  if (!straddles(dt, eps)) return false;
  return (
    [0, 1, 2].some((k) => pierces(soup, s, k, ds, t, eps)) ||
    [0, 1, 2].some((k) => pierces(soup, t, k, dt, s, eps))
  );
}

const straddles = ([a, b, c]: Vector, eps: number): boolean =>
  (a > eps || b > eps || c > eps) && (a < -eps || b < -eps || c < -eps);

/** Signed distances of the corners of face s from the plane of face t; NaN where t has no plane. */
function heights({ vertices: v, triangles }: Soup, s: number, t: number): Vector {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = v[b]! - v[a]!;
  const uy = v[b + 1]! - v[a + 1]!;
  const uz = v[b + 2]! - v[a + 2]!;
  const wx = v[c]! - v[a]!;
  const wy = v[c + 1]! - v[a + 1]!;
  const wz = v[c + 2]! - v[a + 2]!;
  const nx = uy * wz - uz * wy;
  const ny = uz * wx - ux * wz;
  const nz = ux * wy - uy * wx;
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz);
  const height = (corner: number): number => {
    const p = 3 * triangles[corner]!;
    return ((v[p]! - v[a]!) * nx + (v[p + 1]! - v[a + 1]!) * ny + (v[p + 2]! - v[a + 2]!) * nz) / length;
  };
  return [height(3 * s), height(3 * s + 1), height(3 * s + 2)];
}

/** Does edge k of face s, its corners at heights d above t, pass through the inside of t, eps away from its sides? */
function pierces(
  { vertices, triangles }: Soup,
  s: number,
  k: number,
  d: Vector,
  t: number,
  eps: number,
): boolean {
  const dp = d[k]!;
  const dq = d[(k + 1) % 3]!;
  if (!((dp > eps && dq < -eps) || (dp < -eps && dq > eps))) return false;
  const at = (corner: number, x: number): number => vertices[3 * triangles[corner]! + x]!;
  const [a, b, c] = [3 * t, 3 * t + 1, 3 * t + 2];
  const share = dp / (dp - dq);
  const point = (x: number): number =>
    at(3 * s + k, x) + share * (at(3 * s + ((k + 1) % 3), x) - at(3 * s + k, x)) - at(a, x);
  const r: Vector = [point(0), point(1), point(2)];
  const u = [0, 1, 2].map((x) => at(b, x) - at(a, x)) as Vector;
  const v = [0, 1, 2].map((x) => at(c, x) - at(a, x)) as Vector;
  const n = crossProduct(u, v);
  const double = Math.hypot(...n);
  // Distances from the three sides, positive inside.
  const inside = (from: Vector, to: Vector): number => {
    const side = to.map((x, i) => x - from[i]!) as Vector;
    const w = r.map((x, i) => x - from[i]!) as Vector;
    return dot(crossProduct(side, w), n) / (double * (Math.hypot(...side) || 1));
  };
  const zero: Vector = [0, 0, 0];
  return inside(zero, u) > eps && inside(u, v) > eps && inside(v, zero) > eps;
}

type Vector = [number, number, number];
const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const crossProduct = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];

/** Boxes around faces, halved at the middle of the widest side; a perfect tree in breadth-first order. */
class BoxTree {
  readonly items: Uint32Array;
  private readonly faceBox: Float64Array;
  private readonly box: Float64Array;
  private readonly from: Uint32Array;
  private readonly to: Uint32Array;
  private readonly left: Int32Array;

  constructor({ vertices, triangles }: Soup) {
    const faces = triangles.length / 3;
    this.items = Uint32Array.from({ length: faces }, (_, i) => i);
    this.faceBox = new Float64Array(6 * faces);
    for (let t = 0; t < faces; t++)
      for (let k = 0; k < 3; k++) {
        const a = vertices[3 * triangles[3 * t]! + k]!;
        const b = vertices[3 * triangles[3 * t + 1]! + k]!;
        const c = vertices[3 * triangles[3 * t + 2]! + k]!;
        this.faceBox[6 * t + k] = Math.min(a, b, c);
        this.faceBox[6 * t + 3 + k] = Math.max(a, b, c);
      }
    const nodes = 4 * Math.ceil(faces / LEAF) + 3;
    this.box = new Float64Array(6 * nodes);
    this.from = new Uint32Array(nodes);
    this.to = new Uint32Array(nodes);
    this.left = new Int32Array(nodes).fill(-1);
    this.to[0] = faces;
    let used = 1;
    for (let node = 0; node < used; node++) {
      this.fit(node);
      const [from, to] = [this.from[node]!, this.to[node]!];
      if (to - from <= LEAF) continue;
      const middle = this.halve(node, from, to);
      this.left[node] = used;
      [this.from[used], this.to[used]] = [from, middle];
      [this.from[used + 1], this.to[used + 1]] = [middle, to];
      used += 2;
    }
  }

  private fit(node: number): void {
    for (let k = 0; k < 3; k++) {
      let low = Infinity;
      let high = -Infinity;
      for (let i = this.from[node]!; i < this.to[node]!; i++) {
        low = Math.min(low, this.faceBox[6 * this.items[i]! + k]!);
        high = Math.max(high, this.faceBox[6 * this.items[i]! + 3 + k]!);
      }
      this.box[6 * node + k] = low;
      this.box[6 * node + 3 + k] = high;
    }
  }

  /** Puts half of the faces on each side by the middle of their boxes along the widest side of the node. */
  private halve(node: number, from: number, to: number): number {
    const { box, faceBox, items } = this;
    const side = (k: number): number => box[6 * node + 3 + k]! - box[6 * node + k]!;
    const k = side(0) >= side(1) ? (side(0) >= side(2) ? 0 : 2) : side(1) >= side(2) ? 1 : 2;
    const at = (i: number): number => faceBox[6 * items[i]! + k]! + faceBox[6 * items[i]! + 3 + k]!;
    // Hoare's selection: parts the range about its median without sorting it.
    const middle = (from + to) >> 1;
    for (let low = from, high = to - 1; low < high; ) {
      const pivot = at((low + high) >> 1);
      let [i, j] = [low, high];
      while (i <= j) {
        while (at(i) < pivot) i++;
        while (at(j) > pivot) j--;
        if (i > j) break;
        [items[i], items[j]] = [items[j]!, items[i]!];
        i++;
        j--;
      }
      if (middle <= j) high = j;
      else if (middle >= i) low = i;
      else break;
    }
    return middle;
  }

  isLeaf = (node: number): boolean => this.left[node]! < 0;
  children = (node: number): [number, number] => [this.left[node]!, this.left[node]! + 1];
  count = (node: number): number => this.to[node]! - this.from[node]!;
  range = (node: number): [number, number] => [this.from[node]!, this.to[node]!];
  boxesMeet = (p: number, q: number): boolean => meet(this.box, p, q);
  facesMeet = (s: number, t: number): boolean => meet(this.faceBox, s, t);
}

function meet(box: Float64Array, p: number, q: number): boolean {
  for (let k = 0; k < 3; k++)
    if (box[6 * p + k]! > box[6 * q + 3 + k]! || box[6 * q + k]! > box[6 * p + 3 + k]!) return false;
  return true;
}
