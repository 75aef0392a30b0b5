import { UNWATCHED, type Watch } from '../../../numerics/index.js';
import { along, cross, dot, length, subtract, type Vec3 } from '../../shapes/vector.js';
import { before, type FlexMesh, next, tri } from './flex.js';
import { type Metric, measure, opposite } from './metric.js';

export interface RemeshRequest {
  /** Wanted size at a point of the surfaces with these labels. */
  metric(p: Vec3, labels: number[]): Metric;
  /** Nearest point common to the surfaces with these labels. */
  project(p: Vec3, labels: number[]): Vec3;
  /** Vertices that keep their place although they are not locked, e.g. tips of a curve. */
  fixed?: (v: number) => boolean;
  rounds?: number;
  watch?: Watch;
}

/** Edges longer than this (in the metric) are split, shorter ones merged: the usual bounds around sqrt 2 and its inverse. */
const LONG = 1.4;
const SHORT = 0.66;
/** A triangle may turn by at most this in one step: cosine of about 60 degrees. */
const TURN = 0.5;

/**
 * Brings a mesh to the sizes of a metric by splitting, merging and flipping edges and by moving vertices along the
 * surface (after Botsch and Kobbelt, Symp. Geometry Processing 2004, with a metric in place of one length; from memory).
 * Sharp edges stay edges, their vertices stay on them, locked vertices stay altogether. Bounded work: `rounds` sweeps.
 */
export function remesh(mesh: FlexMesh, request: RemeshRequest): 'done' | 'cancelled' {
  const work = new Remesher(mesh, request);
  const rounds = request.rounds ?? 6;
  const watch = request.watch ?? UNWATCHED;
  for (let k = 0; k < rounds; k++) {
    watch.report(k / rounds, 'Cutting the surface into panels');
    const steps = [() => work.splitLong(), () => work.mergeShort(), () => work.flip(), () => work.smooth()];
    for (const step of steps) {
      step();
      if (watch.cancelled()) return 'cancelled';
    }
  }
  work.flip();
  return 'done';
}

/** How freely a vertex may move. */
const FREE = 0;
const CURVE = 1;
const STUCK = 2;

class Remesher {
  /** Metric at each vertex, found when first needed: most of a locked mesh is never asked. */
  private readonly metrics: (Metric | undefined)[] = [];

  constructor(
    private readonly mesh: FlexMesh,
    private readonly request: RemeshRequest,
  ) {}

  private metricAt(v: number): Metric {
    let metric = this.metrics[v];
    if (!metric) {
      metric = this.request.metric(this.mesh.point(v), this.mesh.labelsAround(v));
      this.metrics[v] = metric;
    }
    return metric;
  }

  private size(a: number, b: number): number {
    const { at } = this.mesh;
    return measure(
      this.metricAt(a),
      this.metricAt(b),
      at[3 * b]! - at[3 * a]!,
      at[3 * b + 1]! - at[3 * a + 1]!,
      at[3 * b + 2]! - at[3 * a + 2]!,
    );
  }

  private freedom(v: number): number {
    if (this.mesh.locked[v] || this.request.fixed?.(v)) return STUCK;
    const sharp = this.mesh.sharpAround(v).length;
    return sharp === 0 ? FREE : sharp === 2 ? CURVE : STUCK;
  }

  /** Splits edges that are too long, longest sides of their triangles first by visiting repeatedly. */
  splitLong(): void {
    const { mesh } = this;
    let open = mesh.living().flatMap((t) => [3 * t, 3 * t + 1, 3 * t + 2]);
    for (let sweep = 0; sweep < 12 && open.length > 0; sweep++) {
      const again: number[] = [];
      for (const h of open) {
        if (!mesh.alive(h)) continue;
        const [a, b] = [mesh.org[h]!, mesh.org[next(h)]!];
        if (mesh.locked[a] && mesh.locked[b]) continue;
        const l = this.size(a, b);
        if (l <= LONG) continue;
        // A longer side of either triangle goes first, or long edges would leave slivers.
        const t = mesh.twin[h]!;
        if (this.longerSide(h, l) || (t >= 0 && this.longerSide(t, l))) {
          again.push(h);
          continue;
        }
        const first = mesh.label.length;
        this.splitAt(h, a, b);
        again.push(h, next(h), before(h));
        if (t >= 0) again.push(t, next(t), before(t));
        for (let n = first; n < mesh.label.length; n++) again.push(3 * n, 3 * n + 1, 3 * n + 2);
      }
      open = again;
    }
  }

  private longerSide(h: number, l: number): boolean {
    const { mesh } = this;
    const [a, b, c] = [mesh.org[h]!, mesh.org[next(h)]!, mesh.org[before(h)]!];
    const blocked = (x: number, y: number): boolean => mesh.locked[x]! && mesh.locked[y]!;
    return (
      (this.size(b, c) > l * 1.0001 && !blocked(b, c)) || (this.size(c, a) > l * 1.0001 && !blocked(c, a))
    );
  }

  private splitAt(h: number, a: number, b: number): void {
    const { mesh, request } = this;
    const [p, q] = [mesh.point(a), mesh.point(b)];
    const t = mesh.twin[h]!;
    const labels = [...new Set([mesh.label[tri(h)]!, mesh.label[tri(t >= 0 ? t : h)]!])];
    const mid = request.project([(p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2], labels);
    const m = mesh.split(h, mid);
    this.metrics[m] = request.metric(mid, labels);
  }

  /** Merges edges that are too short, sweep after sweep while many are. */
  mergeShort(): void {
    const { mesh } = this;
    for (let sweep = 0; sweep < 8; sweep++) {
      let merged = 0;
      for (let h = 0; h < mesh.org.length; h++) {
        if (!mesh.alive(h)) continue;
        const [a, b] = [mesh.org[h]!, mesh.org[next(h)]!];
        if (!mesh.locked[a] && this.size(a, b) < SHORT && this.mayMerge(h, a, b)) {
          mesh.collapse(h);
          merged++;
        }
      }
      if (merged * 50 < mesh.label.length) break;
    }
  }

  private mayMerge(h: number, a: number, b: number): boolean {
    const { mesh } = this;
    const free = this.freedom(a);
    if (free === STUCK || (free === CURVE && !mesh.sharp[h])) return false;
    // A curve closed on itself keeps at least three corners: its neighbours along the curve must differ from b.
    if (free === CURVE && mesh.sharpAround(a).some((v) => v !== b && mesh.sharpAround(v).includes(b)))
      return false;
    if (!mesh.mayCollapse(h)) return false;
    const p = mesh.point(b);
    for (const v of mesh.around(a)) if (v !== b && this.size(b, v) > LONG) return false;
    const t = mesh.twin[h]!;
    const gone = [tri(h), t >= 0 ? tri(t) : -1];
    return mesh.fan(a).every((g) => gone.includes(tri(g)) || this.keepsFacing(g, p));
  }

  /** Whether the triangle of g still faces its way, and is no sliver, with its first corner moved to p. */
  private keepsFacing(g: number, p: Vec3): boolean {
    const { mesh } = this;
    const [b, c] = [mesh.point(mesh.org[next(g)]!), mesh.point(mesh.org[before(g)]!)];
    const old = faceNormal(mesh.point(mesh.org[g]!), b, c);
    const now = faceNormal(p, b, c);
    const l = length(now);
    const longest = Math.max(length(subtract(b, c)), length(subtract(p, b)), length(subtract(p, c)));
    return dot(old, now) > TURN * length(old) * l && l > 1e-3 * longest * longest;
  }

  /** Flips edges whose opposite angles (in the metric) sum to more than a half turn. */
  flip(): void {
    const { mesh } = this;
    for (let sweep = 0; sweep < 4; sweep++) {
      let flips = 0;
      for (let h = 0; h < mesh.org.length; h++) {
        if (!mesh.alive(h) || mesh.sharp[h] || mesh.twin[h]! < h) continue;
        if (this.wantsFlip(h) && mesh.flip(h)) flips++;
      }
      if (flips === 0) break;
    }
  }

  private wantsFlip(h: number): boolean {
    const { mesh } = this;
    const t = mesh.twin[h]!;
    const [a, b] = [mesh.org[h]!, mesh.org[t]!];
    const [c, d] = [mesh.org[before(h)]!, mesh.org[before(t)]!];
    if (mesh.locked[a] && mesh.locked[b]) return false;
    const ab = this.size(a, b);
    const [bc, ca, ad, db] = [this.size(b, c), this.size(c, a), this.size(a, d), this.size(d, b)];
    if (opposite(bc, ca, ab) + opposite(ad, db, ab) > -1e-3) return false;
    const [pa, pb, pc, pd] = [mesh.point(a), mesh.point(b), mesh.point(c), mesh.point(d)];
    const [n1, n2] = [faceNormal(pa, pb, pc), faceNormal(pb, pa, pd)];
    const [m1, m2] = [faceNormal(pa, pd, pc), faceNormal(pb, pc, pd)];
    const flat = (x: Vec3, y: Vec3): number => dot(x, y) / Math.max(length(x) * length(y), 1e-300);
    const mean: Vec3 = [n1[0] + n2[0], n1[1] + n2[1], n1[2] + n2[2]];
    // The new diagonal must not fold the surface more than the old one did.
    return (
      flat(m1, m2) > Math.min(flat(n1, n2) - 0.05, 0.9) && flat(m1, mean) > TURN && flat(m2, mean) > TURN
    );
  }

  /** Moves free vertices toward the middle of their neighbours, along the surface; vertices of a curve along it. */
  smooth(): void {
    const { mesh, request } = this;
    for (let v = 0; v < mesh.out.length; v++) {
      if (mesh.out[v]! < 0) continue;
      const free = this.freedom(v);
      if (free === STUCK) continue;
      const p = mesh.point(v);
      const goal = free === FREE ? this.centre(v) : this.middle(v);
      if (!goal) continue;
      const labels = mesh.labelsAround(v);
      const q = request.project(along(p, subtract(goal, p), 0.7), labels);
      if (!mesh.fan(v).every((g) => this.keepsFacing(g, q))) continue;
      mesh.move(v, q);
      this.metrics[v] = request.metric(q, labels);
    }
  }

  /** Centre of the triangles around v, weighted by area in the metric. */
  private centre(v: number): Vec3 | undefined {
    const { mesh } = this;
    let [x, y, z, w] = [0, 0, 0, 0];
    for (const g of mesh.fan(v)) {
      const [b, c] = [mesh.org[next(g)]!, mesh.org[before(g)]!];
      const [vb, bc, cv] = [this.size(v, b), this.size(b, c), this.size(c, v)];
      const s = (vb + bc + cv) / 2;
      const area = Math.sqrt(Math.max(0, s * (s - vb) * (s - bc) * (s - cv)));
      const [p, q, r] = [mesh.point(v), mesh.point(b), mesh.point(c)];
      x += (area * (p[0] + q[0] + r[0])) / 3;
      y += (area * (p[1] + q[1] + r[1])) / 3;
      z += (area * (p[2] + q[2] + r[2])) / 3;
      w += area;
    }
    return w > 0 ? [x / w, y / w, z / w] : undefined;
  }

  /** The point of a curve that shares its two edges evenly in the metric. */
  private middle(v: number): Vec3 | undefined {
    const ends = this.mesh.sharpAround(v);
    const [a, b] = [this.mesh.point(ends[0]!), this.mesh.point(ends[1]!)];
    const [la, lb] = [this.size(v, ends[0]!), this.size(v, ends[1]!)];
    const p = this.mesh.point(v);
    const t = (la - lb) / (2 * Math.max(la, lb, 1e-300));
    return t > 0 ? along(p, subtract(a, p), t) : along(p, subtract(b, p), -t);
  }
}

const faceNormal = (a: Vec3, b: Vec3, c: Vec3): Vec3 => cross(subtract(b, a), subtract(c, a));

/**
 * Only splits edges longer than a size, and returns the original triangle of each triangle. Used to ready a mesh for a
 * boolean operation without moving anything.
 */
export function splitOnly(
  mesh: FlexMesh,
  request: { size(p: Vec3): number; project(p: Vec3, labels: number[]): Vec3 },
): number[] {
  const origin = mesh.label.map((_, t) => t);
  const sizes = Array.from({ length: mesh.out.length }, (_, v) => request.size(mesh.point(v)));
  const ratio = (a: number, b: number): number =>
    length(subtract(mesh.point(a), mesh.point(b))) / Math.min(sizes[a]!, sizes[b]!);
  let open = mesh.org.map((_, h) => h);
  for (let sweep = 0; sweep < 40 && open.length > 0; sweep++) {
    const again: number[] = [];
    for (const h of open) {
      const [a, b, c] = [mesh.org[h]!, mesh.org[next(h)]!, mesh.org[before(h)]!];
      if (ratio(a, b) <= LONG) continue;
      const t = mesh.twin[h]!;
      const far = t >= 0 ? mesh.org[before(t)]! : c;
      const l = length(subtract(mesh.point(a), mesh.point(b))) * 1.0001;
      const longer = [
        [b, c],
        [c, a],
        [b, far],
        [far, a],
      ].some(([x, y]) => length(subtract(mesh.point(x!), mesh.point(y!))) > l && ratio(x!, y!) > LONG);
      if (longer) {
        again.push(h);
        continue;
      }
      const first = mesh.label.length;
      const labels = [...new Set([mesh.label[tri(h)]!, mesh.label[tri(t >= 0 ? t : h)]!])];
      const [p, q] = [mesh.point(a), mesh.point(b)];
      const m = mesh.split(
        h,
        request.project([(p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2], labels),
      );
      sizes[m] = request.size(mesh.point(m));
      origin[first] = origin[tri(h)]!;
      if (t >= 0) origin[first + 1] = origin[tri(t)]!;
      again.push(h, next(h), before(h));
      if (t >= 0) again.push(t, next(t), before(t));
      for (let n = first; n < mesh.label.length; n++) again.push(3 * n, 3 * n + 1, 3 * n + 2);
    }
    open = again;
  }
  return origin;
}
