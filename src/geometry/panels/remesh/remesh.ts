import { UNWATCHED, type Watch } from '../../../numerics/index.js';
import { along, cross, dot, length, scale, subtract, type Vec3 } from '../../shapes/vector.js';
import { before, type FlexMesh, next, tri } from './flex.js';
import { type Metric, measure, opposite } from './metric.js';

export interface RemeshRequest {
  /** Wanted size at a point of the surfaces with these labels. */
  metric(p: Vec3, labels: number[]): Metric;
  /** Nearest point common to the surfaces with these labels. */
  project(p: Vec3, labels: number[]): Vec3;
  /** Point of those surfaces a share t of the way from a to b, both on them. */
  between(a: Vec3, b: Vec3, t: number, labels: number[]): Vec3;
  /** Vertices that keep their place although they are not locked, e.g. tips of a curve. */
  fixed?: (v: number) => boolean;
  /** Only rims are kept: an edge across the inside may be flipped even between two locked vertices. */
  rimOnly?: boolean;
  rounds?: number;
  /** No more splits once the mesh has this many triangles, dead ones counted. */
  most?: number;
  watch?: Watch;
}

/** Edges longer than this (in the metric) are split, shorter ones merged: the usual bounds around sqrt 2 and its inverse. */
const LONG = 1.4;
const SHORT = 0.66;
/** Sharp edges and corners closer together than this are not kept apart. */
const TINY = 0.15;
/** A triangle may turn by at most this in one step: cosine of about 60 degrees. */
const TURN = 0.5;
/** Share of the way to a neighbour that gives the direction to it along the surface. */
const NEAR = 0.2;
/** Triangles flatter than this are slivers: height over longest side. */
const THIN = 1e-3;

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
  private readonly most: number;
  /** Metric at each vertex, found when first needed: most of a locked mesh is never asked. */
  private readonly metrics: (Metric | undefined)[] = [];

  constructor(
    private readonly mesh: FlexMesh,
    private readonly request: RemeshRequest,
  ) {
    this.most = request.most ?? Number.POSITIVE_INFINITY;
  }

  /** Asks now and then; long sweeps must hear a cancel. */
  private stopped(i: number): boolean {
    return (i & 1023) === 0 && (this.request.watch?.cancelled() ?? false);
  }

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
    let open: number[] = [];
    for (let h = 0; h < mesh.org.length; h++) if (mesh.alive(h) && !this.locked(h)) open.push(h);
    for (let sweep = 0; sweep < 12 && open.length > 0 && !this.stopped(0); sweep++) {
      const again: number[] = [];
      for (const h of open) {
        if (!mesh.alive(h)) continue;
        if (mesh.label.length > this.most) return;
        const [a, b] = [mesh.org[h]!, mesh.org[next(h)]!];
        if (this.locked(h)) continue;
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

  /** An edge between locked vertices is not split. */
  private locked(h: number): boolean {
    const { mesh } = this;
    return mesh.locked[mesh.org[h]!]! && mesh.locked[mesh.org[next(h)]!]!;
  }

  /** Nor is it flipped, unless it only crosses the inside of a rim. */
  private held(h: number): boolean {
    const { mesh, request } = this;
    return this.locked(h) && (!request.rimOnly || mesh.sharp[h] === 1 || mesh.twin[h]! < 0);
  }

  private longerSide(h: number, l: number): boolean {
    const { mesh } = this;
    const [a, b, c] = [mesh.org[h]!, mesh.org[next(h)]!, mesh.org[before(h)]!];
    return (
      (this.size(b, c) > l * 1.0001 && !this.locked(next(h))) ||
      (this.size(c, a) > l * 1.0001 && !this.locked(before(h)))
    );
  }

  private splitAt(h: number, a: number, b: number): void {
    const { mesh, request } = this;
    const [p, q] = [mesh.point(a), mesh.point(b)];
    const t = mesh.twin[h]!;
    const labels = [...new Set([mesh.label[tri(h)]!, mesh.label[tri(t >= 0 ? t : h)]!])];
    const chord: Vec3 = [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2, (p[2] + q[2]) / 2];
    const on = request.between(p, q, 0.5, labels);
    // On a surface full of folds the nearest point may be far off; then the middle of the chord is the better one.
    const mid = length(subtract(on, chord)) < 0.4 * length(subtract(p, q)) ? on : chord;
    const m = mesh.split(h, mid);
    this.metrics[m] = request.metric(mid, labels);
  }

  /** Merges edges that are too short, sweep after sweep while many are. */
  mergeShort(): void {
    const { mesh } = this;
    for (let sweep = 0; sweep < 8; sweep++) {
      let merged = 0;
      for (let h = 0; h < mesh.org.length && !this.stopped(h); h++) {
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
    // Detail far finer than the panels is worn off, corners and all.
    const tiny = !mesh.locked[a] && this.freedom(b) >= free && this.size(a, b) < TINY;
    if (!tiny && (free === STUCK || (free === CURVE && !mesh.sharp[h]))) return false;
    // A curve closed on itself keeps at least three corners: its neighbours along the curve must differ from b.
    if (
      !tiny &&
      free === CURVE &&
      mesh.sharpAround(a).some((v) => v !== b && mesh.sharpAround(v).includes(b))
    )
      return false;
    if (!mesh.mayCollapse(h)) return false;
    const p = mesh.point(b);
    for (const v of mesh.around(a)) if (v !== b && this.size(b, v) > LONG) return false;
    const t = mesh.twin[h]!;
    const gone = [tri(h), t >= 0 ? tri(t) : -1];
    return (
      mesh.fan(a).every((g) => gone.includes(tri(g)) || this.keepsFacing(g, p)) && !this.leavesEar(a, b, gone)
    );
  }

  /**
   * Whether two vertices lie on one curve between the same two faces. A side between two such vertices that does not
   * run along the curve is a chord: on a rounding it has nowhere to go but the curve itself.
   */
  private sameCurve(u: number, v: number): boolean {
    const { mesh } = this;
    if (!mesh.sharpAround(u).length || !mesh.sharpAround(v).length) return false;
    const labels = mesh.labelsAround(u);
    return mesh.labelsAround(v).filter((l) => labels.includes(l)).length > 1;
  }

  /**
   * Whether merging a into b leaves an ear: a triangle with two sides along one curve, which loses its area once it is
   * curved. Only vertices on curves can make one.
   */
  private leavesEar(a: number, b: number, gone: number[]): boolean {
    const { mesh } = this;
    const sharp = new Set([...mesh.sharpAround(a), ...mesh.sharpAround(b)].filter((v) => v !== a && v !== b));
    if (sharp.size === 0) return false;
    const onCurve = this.freedom(b) === CURVE || (this.freedom(b) === FREE && this.freedom(a) === CURVE);
    for (const g of [...mesh.fan(a), ...mesh.fan(b)]) {
      if (gone.includes(tri(g))) continue;
      const [c, d] = [mesh.org[next(g)]!, mesh.org[before(g)]!];
      const [toC, toD, far] = [sharp.has(c), sharp.has(d), mesh.sharp[next(g)] === 1];
      if (toC && toD && onCurve) return true;
      if (far && toC && this.freedom(c) === CURVE) return true;
      if (far && toD && this.freedom(d) === CURVE) return true;
    }
    return false;
  }

  /** Whether the triangle of g still faces its way, and is no sliver, with its first corner moved to p. */
  private keepsFacing(g: number, p: Vec3): boolean {
    const { mesh } = this;
    const [b, c] = [mesh.point(mesh.org[next(g)]!), mesh.point(mesh.org[before(g)]!)];
    const here = mesh.point(mesh.org[g]!);
    const old = faceNormal(here, b, c);
    const now = faceNormal(p, b, c);
    const [was, is] = [fatness(here, b, c, old), fatness(p, b, c, now)];
    // A triangle without area faces nowhere: it may become anything that faces with its neighbours.
    if (was < THIN) return is < THIN || dot(this.facingAround(g), now) > 0;
    return dot(old, now) > TURN * length(old) * length(now) && is > THIN;
  }

  /** Sum of the area vectors of the triangles with the label of g around its first corner. */
  private facingAround(g: number): Vec3 {
    const { mesh } = this;
    let sum: Vec3 = [0, 0, 0];
    for (const k of mesh.fanFrom(g)) {
      if (mesh.label[tri(k)] !== mesh.label[tri(g)]) continue;
      const n = faceNormal(
        mesh.point(mesh.org[k]!),
        mesh.point(mesh.org[next(k)]!),
        mesh.point(mesh.org[before(k)]!),
      );
      sum = [sum[0] + n[0], sum[1] + n[1], sum[2] + n[2]];
    }
    return sum;
  }

  /** Flips edges whose opposite angles (in the metric) sum to more than a half turn. */
  flip(): void {
    const { mesh } = this;
    for (let sweep = 0; sweep < 4; sweep++) {
      let flips = 0;
      for (let h = 0; h < mesh.org.length; h++) {
        if (!mesh.alive(h) || mesh.sharp[h] || mesh.twin[h]! < h) continue;
        if (this.held(h)) continue;
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
    // An ear (two sides along one curve) is never made, and undone where there is one.
    const ear = (one: number, two: number, tip: number): boolean =>
      mesh.sharp[one] === 1 && mesh.sharp[two] === 1 && this.freedom(tip) === CURVE;
    const [hn, hp, tn, tp] = [next(h), before(h), next(t), before(t)];
    if (ear(tn, hp, a) || ear(hn, tp, b)) return false;
    const chord = this.sameCurve(a, b);
    if (!chord && this.sameCurve(c, d)) return false;
    const rid = chord || ear(hn, hp, c) || ear(tn, tp, d);
    const ab = this.size(a, b);
    const [bc, ca, ad, db] = [this.size(b, c), this.size(c, a), this.size(a, d), this.size(d, b)];
    if (!rid && opposite(bc, ca, ab) + opposite(ad, db, ab) > -1e-3) return false;
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
    for (let v = 0; v < mesh.out.length && !this.stopped(v); v++) {
      if (mesh.out[v]! < 0) continue;
      const free = this.freedom(v);
      if (free === STUCK) continue;
      const p = mesh.point(v);
      const labels = mesh.labelsAround(v);
      const step = free === FREE ? this.towardCentre(v, labels) : this.towardMiddle(v, labels);
      if (!step) continue;
      const q = request.project(along(p, step, 0.7), labels);
      if (!mesh.fan(v).every((g) => this.keepsFacing(g, q))) continue;
      mesh.move(v, q);
      this.metrics[v] = request.metric(q, labels);
    }
  }

  /** Step to the centre of the triangles around v, weighted by area in the metric and measured along the surface. */
  private towardCentre(v: number, labels: number[]): Vec3 | undefined {
    const { mesh } = this;
    const p = mesh.point(v);
    const steps = new Map<number, Vec3>();
    const stepTo = (u: number): Vec3 => {
      let step = steps.get(u);
      if (!step) {
        step = this.direction(p, mesh.point(u), labels);
        steps.set(u, step);
      }
      return step;
    };
    let [x, y, z, w] = [0, 0, 0, 0];
    for (const g of mesh.fan(v)) {
      const [b, c] = [mesh.org[next(g)]!, mesh.org[before(g)]!];
      const [vb, bc, cv] = [this.size(v, b), this.size(b, c), this.size(c, v)];
      const s = (vb + bc + cv) / 2;
      const area = Math.sqrt(Math.max(0, s * (s - vb) * (s - bc) * (s - cv)));
      const [q, r] = [stepTo(b), stepTo(c)];
      x += (area * (q[0] + r[0])) / 3;
      y += (area * (q[1] + r[1])) / 3;
      z += (area * (q[2] + r[2])) / 3;
      w += area;
    }
    return w > 0 ? [x / w, y / w, z / w] : undefined;
  }

  /** Where q lies as seen from p along the surface: the chord would pull vertices off a tight rounding. */
  private direction(p: Vec3, q: Vec3, labels: number[]): Vec3 {
    const near = this.request.between(p, q, NEAR, labels);
    return scale(subtract(near, p), 1 / NEAR);
  }

  /** Step along a curve that makes its two edges even in the metric. */
  private towardMiddle(v: number, labels: number[]): Vec3 | undefined {
    const ends = this.mesh.sharpAround(v);
    const [la, lb] = [this.size(v, ends[0]!), this.size(v, ends[1]!)];
    const t = (la - lb) / (2 * Math.max(la, lb, 1e-300));
    const p = this.mesh.point(v);
    return scale(this.direction(p, this.mesh.point(ends[t > 0 ? 0 : 1]!), labels), Math.abs(t));
  }
}

/** Height over length of the longest side, roughly. */
const fatness = (a: Vec3, b: Vec3, c: Vec3, normal: Vec3): number => {
  const longest = Math.max(length(subtract(a, b)), length(subtract(b, c)), length(subtract(c, a)));
  return length(normal) / Math.max(longest * longest, 1e-300);
};

const faceNormal = (a: Vec3, b: Vec3, c: Vec3): Vec3 => cross(subtract(b, a), subtract(c, a));

/**
 * Only splits edges longer than a size, and returns the original triangle of each triangle. Used to ready a mesh for a
 * boolean operation without moving anything.
 */
export function splitOnly(
  mesh: FlexMesh,
  request: { size(p: Vec3): number; between(a: Vec3, b: Vec3, t: number, labels: number[]): Vec3 },
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
      const m = mesh.split(h, request.between(p, q, 0.5, labels));
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
