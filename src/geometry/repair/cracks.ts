import { looseHalfEdges, nextCorner } from './edges.js';
import type { RepairLog } from './report.js';
import { diagonal, dropCollapsed, dropDuplicates, type Soup } from './soup.js';

/**
 * Weld tolerances over the bounding diagonal, tried in turn until no loose edge is left. The last is 5 um on a part of
 * 50 mm: a gap the liquid does not notice. Our own rule; readers of this kind commonly weld at 1e-5.
 */
const TOLERANCES = [1e-7, 1e-6, 1e-5, 1e-4];

/**
 * Closes cracks: places where two faces should share an edge but the file gives slightly different points, or where a
 * point of one face lies on the long edge of its neighbour (T-junction). Only points on loose edges are touched, so fine
 * detail of sound surface is never welded away.
 */
export function closeCracks(soup: Soup, log: RepairLog): Soup {
  let loose = looseHalfEdges(soup.triangles, soup.vertices.length / 3);
  if (loose.length === 0) return soup;
  const size = diagonal(soup);
  for (const relative of TOLERANCES) {
    if (loose.length === 0) return soup;
    for (const step of [weldLoose, splitAtLoosePoints]) {
      const trial = step(soup, loose, relative * size);
      if (!trial) continue;
      const after = looseHalfEdges(trial.soup.triangles, trial.soup.vertices.length / 3);
      // Kept only where it helps: a weld that opens more than it closes would be damage.
      if (after.length >= loose.length) continue;
      soup = trial.soup;
      loose = after;
      log.add(trial.kind, trial.count);
      log.add('degenerate-faces', trial.collapsed);
    }
  }
  return soup;
}

interface Trial {
  soup: Soup;
  kind: string;
  count: number;
  collapsed: number;
}

/** Joins points on loose edges that are closer than the tolerance. */
function weldLoose(soup: Soup, loose: number[], tolerance: number): Trial | undefined {
  const { vertices, triangles } = soup;
  const points = loosePoints(triangles, loose);
  const grid = new PointGrid(vertices, tolerance);
  const target = new Map<number, number>();
  for (const v of points) {
    const near = grid.nearest(v);
    if (near >= 0) target.set(v, near);
    else grid.add(v);
  }
  if (target.size === 0) return undefined;
  const welded = triangles.map((v) => target.get(v) ?? v);
  return tidy({ ...soup, triangles: welded }, 'weld', target.size);
}

/** Splits the triangles at loose edges on whose inside a loose point lies within the tolerance. */
function splitAtLoosePoints(soup: Soup, loose: number[], tolerance: number): Trial | undefined {
  const { vertices, triangles, group, turned } = soup;
  const points = loosePoints(triangles, loose);
  const order = [...points].sort((p, q) => vertices[3 * p]! - vertices[3 * q]!);
  const xs = order.map((p) => vertices[3 * p]!);
  const cuts = new Map<number, number[]>();
  let budget = 20_000_000;
  for (const h of loose) {
    const on = pointsOnEdge(
      vertices,
      triangles[h]!,
      triangles[nextCorner(h)]!,
      order,
      xs,
      tolerance,
      () => --budget > 0,
    );
    if (on.length) cuts.set(h, on);
  }
  if (cuts.size === 0) return undefined;
  const out: number[] = [];
  const from: number[] = [];
  let added = 0;
  for (let t = 0; t < group.length; t++) {
    // The outline of the triangle with the points put in, cut into ears from a corner that sees them all.
    const sides = [0, 1, 2].map((k) => cuts.get(3 * t + k) ?? []);
    const outline = [0, 1, 2].flatMap((k) => [triangles[3 * t + k]!, ...sides[k]!]);
    if (outline.length > 3) added += outline.length - 3;
    for (const [a, b, c] of cutOutline(outline, sides)) {
      out.push(a, b, c);
      from.push(t);
    }
  }
  const split: Soup = {
    vertices,
    triangles: Uint32Array.from(out),
    group: Int32Array.from(from, (t) => group[t]!),
    turned: Uint8Array.from(from, (t) => turned[t]!),
  };
  return tidy(split, 't-junctions', added);
}

/** Triangles of a triangle whose sides carry extra points. */
function cutOutline(outline: number[], sides: number[][]): [number, number, number][] {
  if (outline.length === 3) return [[outline[0]!, outline[1]!, outline[2]!]];
  // Take the side with the most points, fan it to the opposite corner, and put the rest on what is left.
  const most = sides.reduce((best, s, k) => (s.length > sides[best]!.length ? k : best), 0);
  const corner = [0, 0, 0];
  for (let k = 1; k < 3; k++) corner[k] = corner[k - 1]! + 1 + sides[k - 1]!.length;
  const at = (k: number): number => outline[corner[k % 3]!]!;
  const apex = at(most + 2);
  const chain = [at(most), ...sides[most]!, at(most + 1)];
  const out: [number, number, number][] = [];
  for (let i = 0; i + 1 < chain.length; i++) {
    const inner: number[][] = [[], [], []];
    if (i === chain.length - 2) inner[1] = sides[(most + 1) % 3]!;
    if (i === 0) inner[2] = sides[(most + 2) % 3]!;
    const part = [chain[i]!, chain[i + 1]!, ...inner[1]!, apex, ...inner[2]!];
    out.push(...cutOutline(part, [[], inner[1]!, inner[2]!]));
  }
  return out;
}

/** Points strictly inside the segment and within the tolerance of it, in order along it. */
function pointsOnEdge(
  vertices: Float64Array,
  a: number,
  b: number,
  order: number[],
  xs: number[],
  tolerance: number,
  spend: () => boolean,
): number[] {
  const d = [0, 1, 2].map((k) => vertices[3 * b + k]! - vertices[3 * a + k]!);
  const length2 = d[0]! ** 2 + d[1]! ** 2 + d[2]! ** 2;
  const low = Math.min(vertices[3 * a]!, vertices[3 * b]!) - tolerance;
  const high = Math.max(vertices[3 * a]!, vertices[3 * b]!) + tolerance;
  const found: { point: number; along: number }[] = [];
  for (let i = firstAtLeast(xs, low); i < xs.length && xs[i]! <= high && spend(); i++) {
    const p = order[i]!;
    if (p === a || p === b) continue;
    const r = [0, 1, 2].map((k) => vertices[3 * p + k]! - vertices[3 * a + k]!);
    const along = (r[0]! * d[0]! + r[1]! * d[1]! + r[2]! * d[2]!) / length2;
    const margin = tolerance / Math.sqrt(length2);
    if (!(along > margin && along < 1 - margin)) continue;
    const off = Math.hypot(...r.map((x, k) => x - along * d[k]!));
    if (off <= tolerance) found.push({ point: p, along });
  }
  return found.sort((p, q) => p.along - q.along).map((f) => f.point);
}

function firstAtLeast(sorted: number[], value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

function tidy(soup: Soup, kind: string, count: number): Trial {
  const before = soup.triangles.length / 3;
  const silent = { add: () => {} } as unknown as RepairLog;
  const kept = dropDuplicates(dropCollapsed(soup, silent), silent);
  return { soup: kept, kind, count, collapsed: before - kept.triangles.length / 3 };
}

const loosePoints = (triangles: Uint32Array, loose: number[]): Set<number> =>
  new Set(loose.flatMap((h) => [triangles[h]!, triangles[nextCorner(h)]!]));

/** Finds an already added point within a distance, by cells of that size. */
class PointGrid {
  private readonly cells = new Map<string, number[]>();
  constructor(
    private readonly vertices: Float64Array,
    private readonly distance: number,
  ) {}
  private cell(v: number, k: number): number {
    return Math.floor(this.vertices[3 * v + k]! / this.distance);
  }
  add(v: number): void {
    const key = `${this.cell(v, 0)},${this.cell(v, 1)},${this.cell(v, 2)}`;
    const list = this.cells.get(key);
    if (list) list.push(v);
    else this.cells.set(key, [v]);
  }
  nearest(v: number): number {
    const { vertices } = this;
    const [x, y, z] = [this.cell(v, 0), this.cell(v, 1), this.cell(v, 2)];
    let best = -1;
    let least = this.distance;
    for (let i = x - 1; i <= x + 1; i++)
      for (let j = y - 1; j <= y + 1; j++)
        for (let k = z - 1; k <= z + 1; k++)
          for (const p of this.cells.get(`${i},${j},${k}`) ?? []) {
            const d = Math.hypot(
              vertices[3 * p]! - vertices[3 * v]!,
              vertices[3 * p + 1]! - vertices[3 * v + 1]!,
              vertices[3 * p + 2]! - vertices[3 * v + 2]!,
            );
            if (d <= least) {
              least = d;
              best = p;
            }
          }
    return best;
  }
}
