import type { Vec3 } from '../../shapes/vector.js';

/** Nearest point of a set of triangles: which one, where in it, how far. */
export interface Hit {
  triangle: number;
  /** Weights of the second and third corner. */
  u: number;
  v: number;
  /** Squared distance [m2]. */
  square: number;
}

/** Triangles a leaf holds. */
const LEAF = 4;

/** A tree of boxes over triangles, halved along the longest side; answers nearest-point questions. */
export class TriangleTree {
  private readonly order: Int32Array;
  /** Six numbers a node: box minimum and maximum. */
  private readonly boxes: number[] = [];
  /** Two numbers a node: children, or ~start and count of a leaf. */
  private readonly links: number[] = [];

  constructor(
    private readonly vertices: Float64Array,
    private readonly triangles: ArrayLike<number>,
    /** Only these triangles; all when absent. */
    only?: ArrayLike<number>,
  ) {
    const count = only?.length ?? triangles.length / 3;
    this.order = Int32Array.from({ length: count }, (_, i) => only?.[i] ?? i);
    const centres = new Float64Array(triangles.length);
    for (const t of this.order)
      for (let k = 0; k < 3; k++)
        for (let d = 0; d < 3; d++) centres[3 * t + d]! += vertices[3 * triangles[3 * t + k]! + d]! / 3;
    if (count > 0) this.build(0, count, centres);
  }

  private build(from: number, to: number, centres: Float64Array): number {
    const node = this.links.length / 2;
    this.links.push(0, 0);
    const box = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
    const mid = [Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity];
    for (let i = from; i < to; i++) {
      const t = this.order[i]!;
      for (let d = 0; d < 3; d++) {
        for (let k = 0; k < 3; k++) {
          const x = this.vertices[3 * this.triangles[3 * t + k]! + d]!;
          if (x < box[d]!) box[d] = x;
          if (x > box[d + 3]!) box[d + 3] = x;
        }
        const c = centres[3 * t + d]!;
        if (c < mid[d]!) mid[d] = c;
        if (c > mid[d + 3]!) mid[d + 3] = c;
      }
    }
    this.boxes.push(...box);
    if (to - from <= LEAF) {
      this.links[2 * node] = ~from;
      this.links[2 * node + 1] = to - from;
      return node;
    }
    const spread = [0, 1, 2].map((d) => mid[d + 3]! - mid[d]!);
    const axis = spread.indexOf(Math.max(...spread));
    const half = (from + to) >> 1;
    selectMiddle(this.order, from, to - 1, half, (t) => centres[3 * t + axis]!);
    this.links[2 * node] = this.build(from, half, centres);
    this.links[2 * node + 1] = this.build(half, to, centres);
    return node;
  }

  /** Nearest triangle; undefined when there is none. */
  nearest(p: Vec3): Hit | undefined {
    let best: Hit | undefined;
    let least = Number.POSITIVE_INFINITY;
    const stack: number[] = this.links.length > 0 ? [0] : [];
    while (stack.length > 0) {
      const node = stack.pop()!;
      if (this.away(node, p) >= least) continue;
      const link = this.links[2 * node]!;
      if (link < 0) {
        const from = ~link;
        for (let i = from; i < from + this.links[2 * node + 1]!; i++) {
          const t = this.order[i]!;
          const hit = nearestInTriangle(this.vertices, this.triangles, t, p);
          if (hit.square < least) {
            least = hit.square;
            best = hit;
          }
        }
        continue;
      }
      const other = this.links[2 * node + 1]!;
      // The nearer child is looked at first.
      if (this.away(link, p) < this.away(other, p)) stack.push(other, link);
      else stack.push(link, other);
    }
    return best;
  }

  private away(node: number, p: Vec3): number {
    let sum = 0;
    for (let d = 0; d < 3; d++) {
      const x = p[d as 0 | 1 | 2];
      const out = Math.max(this.boxes[6 * node + d]! - x, 0, x - this.boxes[6 * node + 3 + d]!);
      sum += out * out;
    }
    return sum;
  }
}

/** Puts the element of rank `middle` in its place, smaller ones before it (Hoare's selection). */
function selectMiddle(
  items: Int32Array,
  from: number,
  to: number,
  middle: number,
  key: (t: number) => number,
): void {
  let [low, high] = [from, to];
  while (low < high) {
    const pivot = key(items[(low + high) >> 1]!);
    let [i, j] = [low, high];
    while (i <= j) {
      while (key(items[i]!) < pivot) i++;
      while (key(items[j]!) > pivot) j--;
      if (i <= j) {
        [items[i], items[j]] = [items[j]!, items[i]!];
        i++;
        j--;
      }
    }
    if (middle <= j) high = j;
    else if (middle >= i) low = i;
    else return;
  }
}

/** Nearest point of one triangle (Ericson, Real-Time Collision Detection, 5.1.5; from memory). */
export function nearestInTriangle(
  vertices: Float64Array,
  triangles: ArrayLike<number>,
  t: number,
  p: Vec3,
): Hit {
  const [a, b, c] = [3 * triangles[3 * t]!, 3 * triangles[3 * t + 1]!, 3 * triangles[3 * t + 2]!];
  const [ax, ay, az] = [vertices[a]!, vertices[a + 1]!, vertices[a + 2]!];
  const [ux, uy, uz] = [vertices[b]! - ax, vertices[b + 1]! - ay, vertices[b + 2]! - az];
  const [vx, vy, vz] = [vertices[c]! - ax, vertices[c + 1]! - ay, vertices[c + 2]! - az];
  const [px, py, pz] = [p[0] - ax, p[1] - ay, p[2] - az];
  const d1 = ux * px + uy * py + uz * pz;
  const d2 = vx * px + vy * py + vz * pz;
  const uu = ux * ux + uy * uy + uz * uz;
  const uv = ux * vx + uy * vy + uz * vz;
  const vv = vx * vx + vy * vy + vz * vz;
  const [d3, d4, d5, d6] = [d1 - uu, d2 - uv, d1 - uv, d2 - vv];
  let [s, r] = [0, 0];
  const vc = d1 * d4 - d3 * d2;
  const vb = d5 * d2 - d1 * d6;
  const va = d3 * d6 - d5 * d4;
  if (d1 <= 0 && d2 <= 0) [s, r] = [0, 0];
  else if (d3 >= 0 && d4 <= d3) [s, r] = [1, 0];
  else if (d6 >= 0 && d5 <= d6) [s, r] = [0, 1];
  else if (vc <= 0 && d1 >= 0 && d3 <= 0) [s, r] = [d1 / (d1 - d3), 0];
  else if (vb <= 0 && d2 >= 0 && d6 <= 0) [s, r] = [0, d2 / (d2 - d6)];
  else if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    r = (d4 - d3) / (d4 - d3 + d5 - d6);
    s = 1 - r;
  } else {
    const all = va + vb + vc;
    // A triangle without area has no inside; its edges were tried above.
    [s, r] = all !== 0 ? [vb / all, vc / all] : [0, 0];
  }
  const [qx, qy, qz] = [s * ux + r * vx - px, s * uy + r * vy - py, s * uz + r * vz - pz];
  return { triangle: t, u: s, v: r, square: qx * qx + qy * qy + qz * qz };
}
