import type { Watch } from '../../numerics/index.js';
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
export function closeCracks(soup: Soup, log: RepairLog, watch: Watch): Soup {
  let loose = looseHalfEdges(soup.triangles, soup.vertices.length / 3);
  if (loose.length === 0) return soup;
  const size = diagonal(soup);
  if (loose.length > MANY && !helps(weldLoose(soup, loose, TOLERANCES.at(-1)! * size), loose)) return soup;
  const budget = { left: LOOKS };
  for (const relative of TOLERANCES)
    for (const step of [weldLoose, splitAtLoosePoints]) {
      if (loose.length === 0 || watch.cancelled()) return soup;
      const trial = step(soup, loose, relative * size, budget);
      const after = helps(trial, loose);
      if (!trial || !after) continue;
      soup = trial.soup;
      loose = after;
      log.add(trial.kind, trial.count);
      log.add('degenerate-faces', trial.collapsed);
    }
  return soup;
}

/** With more loose edges than this the widest weld is tried first: if that does not help, the file is no cracked solid. */
const MANY = 100_000;
/** Points looked at while searching for T-junctions, over all tolerances (a few seconds). */
const LOOKS = 5e7;

/**
 * The loose edges left after a trial if it is worth keeping. A weld that leaves as many as before, or that mainly makes
 * faces vanish (as on the rim of a fine open sheet), is damage, not repair.
 */
function helps(trial: Trial | undefined, before: number[]): number[] | undefined {
  if (!trial || trial.collapsed > trial.count / 2) return undefined;
  const after = looseHalfEdges(trial.soup.triangles, trial.soup.vertices.length / 3);
  return after.length < before.length ? after : undefined;
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
function splitAtLoosePoints(
  soup: Soup,
  loose: number[],
  tolerance: number,
  budget: { left: number },
): Trial | undefined {
  const { vertices, triangles, group, turned } = soup;
  const line = new PointsInLine(vertices, [...loosePoints(triangles, loose)]);
  const cuts = new Map<number, number[]>();
  for (const h of loose) {
    const on = line.onEdge(triangles[h]!, triangles[nextCorner(h)]!, tolerance, budget);
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

/** Points sorted along the axis of their greatest spread, so that few have to be looked at for one edge. */
class PointsInLine {
  private readonly axis: number;
  private readonly sorted: number[];
  private readonly keys: Float64Array;

  constructor(
    private readonly vertices: Float64Array,
    points: number[],
  ) {
    const spread = [0, 1, 2].map((k) => {
      let [low, high] = [Infinity, -Infinity];
      for (const p of points) {
        low = Math.min(low, vertices[3 * p + k]!);
        high = Math.max(high, vertices[3 * p + k]!);
      }
      return high - low;
    });
    this.axis = spread.indexOf(Math.max(...spread));
    this.sorted = points.sort((p, q) => vertices[3 * p + this.axis]! - vertices[3 * q + this.axis]!);
    this.keys = Float64Array.from(this.sorted, (p) => vertices[3 * p + this.axis]!);
  }

  /** Points strictly inside the segment a-b and within the tolerance of it, in order along it. */
  onEdge(a: number, b: number, tolerance: number, budget: { left: number }): number[] {
    const { vertices: v, axis, sorted, keys } = this;
    const [ax, ay, az] = [v[3 * a]!, v[3 * a + 1]!, v[3 * a + 2]!];
    const [dx, dy, dz] = [v[3 * b]! - ax, v[3 * b + 1]! - ay, v[3 * b + 2]! - az];
    const length2 = dx * dx + dy * dy + dz * dz;
    const margin = tolerance / Math.sqrt(length2);
    const from = v[3 * a + axis]!;
    const to = v[3 * b + axis]!;
    const high = Math.max(from, to) + tolerance;
    const found: { point: number; along: number }[] = [];
    for (
      let i = firstAtLeast(keys, Math.min(from, to) - tolerance);
      i < keys.length && keys[i]! <= high;
      i++
    ) {
      if (--budget.left < 0) break;
      const p = sorted[i]!;
      const rx = v[3 * p]! - ax;
      const ry = v[3 * p + 1]! - ay;
      const rz = v[3 * p + 2]! - az;
      const along = (rx * dx + ry * dy + rz * dz) / length2;
      if (!(along > margin && along < 1 - margin) || p === a || p === b) continue;
      const [ox, oy, oz] = [rx - along * dx, ry - along * dy, rz - along * dz];
      if (ox * ox + oy * oy + oz * oz <= tolerance * tolerance) found.push({ point: p, along });
    }
    return found.sort((p, q) => p.along - q.along).map((f) => f.point);
  }
}

function firstAtLeast(sorted: Float64Array, value: number): number {
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

function loosePoints(triangles: Uint32Array, loose: number[]): Set<number> {
  const points = new Set<number>();
  for (const h of loose) points.add(triangles[h]!).add(triangles[nextCorner(h)]!);
  return points;
}

/** Finds an already added point within a distance, by cells of twice that size: at most eight can hold one. */
class PointGrid {
  private readonly cells = new Map<number, number[]>();
  private readonly size: number;
  constructor(
    private readonly vertices: Float64Array,
    private readonly distance: number,
  ) {
    this.size = 2 * distance;
  }
  private cell(v: number, k: number): number {
    return Math.floor(this.vertices[3 * v + k]! / this.size);
  }
  /** The neighbour cell on the side of the point. */
  private beside(v: number, k: number): number {
    const x = this.vertices[3 * v + k]! / this.size;
    return x - Math.floor(x) < 0.5 ? Math.floor(x) - 1 : Math.floor(x) + 1;
  }
  /** Cells that share a key are only looked at in vain: distances decide. */
  private key(i: number, j: number, k: number): number {
    return (
      Math.imul(i % 0x7fffffff, 73856093) ^
      Math.imul(j % 0x7fffffff, 19349663) ^
      Math.imul(k % 0x7fffffff, 83492791)
    );
  }
  add(v: number): void {
    const key = this.key(this.cell(v, 0), this.cell(v, 1), this.cell(v, 2));
    const list = this.cells.get(key);
    if (list) list.push(v);
    else this.cells.set(key, [v]);
  }
  nearest(v: number): number {
    let best = -1;
    let least = this.distance;
    const [x, y, z] = [this.cell(v, 0), this.cell(v, 1), this.cell(v, 2)];
    const [bx, by, bz] = [this.beside(v, 0), this.beside(v, 1), this.beside(v, 2)];
    for (let corner = 0; corner < 8; corner++) {
      const list = this.cells.get(this.key(corner & 1 ? bx : x, corner & 2 ? by : y, corner & 4 ? bz : z));
      if (list === undefined) continue;
      for (const p of list) {
        const d = this.apart(p, v);
        if (d > least) continue;
        least = d;
        best = p;
      }
    }
    return best;
  }
  private apart(p: number, q: number): number {
    const { vertices: v } = this;
    const [x, y, z] = [v[3 * p]! - v[3 * q]!, v[3 * p + 1]! - v[3 * q + 1]!, v[3 * p + 2]! - v[3 * q + 2]!];
    return Math.sqrt(x * x + y * y + z * z);
  }
}
