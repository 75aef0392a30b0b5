import { along, cross, dot, length, scale, subtract, unit, type Vec3 } from '../../shapes/vector.js';
import type { TriangleMesh } from '../../surface.js';

/**
 * What a file's flat triangles were meant to be. Edges that turn by more than `SHARP` are real edges; across all others
 * the surface is taken as smooth and each triangle as a quadratic patch whose mid-sides are lifted by the normals at
 * its corners (the middle of a cubic Hermite edge; after Vlachos et al., curved PN triangles, I3D 2001; from memory).
 */
export interface SmoothMesh {
  vertices: Float64Array;
  triangles: Uint32Array;
  /** Half-edge on the other side, -1 at a rim. Half-edge 3t + k runs from corner k of triangle t to the next. */
  twin: Int32Array;
  /** Edges that are kept: they bound the smooth pieces. */
  sharp: Uint8Array;
  /** Smooth piece each triangle belongs to. */
  label: Int32Array;
  labels: number;
  /** Normal at each corner of each triangle, of its smooth side. */
  normal: Vec3[];
  /** Mid-side node of each half-edge. */
  mid: Vec3[];
}

/** Dihedral turn from which an edge is real [rad]: a circle of 12 facets turns by 30 degrees a facet. */
const SHARP = (32 * Math.PI) / 180;
/** A curve of edges bends smoothly below this turn [rad], and has a corner above. */
export const CORNER = (40 * Math.PI) / 180;
/** Cosine below which two facets are one plane: half a degree. */
const COPLANAR = Math.cos(Math.PI / 360);
/** A facet this many times smaller in area than its neighbour says nothing about the neighbour's normal. */
const DWARFED = 8;
/** An edge this many times longer than the next on its curve is straight. */
const LONGER = 3;
/** Highest lift of a mid-side as a fraction of the edge: that of a quarter circle. */
const LIFT = 0.21;

const nextOf = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);

/**
 * Reads a mesh. Where real edges are so many that the pieces between them outnumber `pieces` (engraving, knurling,
 * lattices), only the sharper ones are kept, at last none: finer detail than panels can follow is then worn off.
 */
export function smoothMesh(mesh: TriangleMesh, pieces = Number.POSITIVE_INFINITY): SmoothMesh {
  let read = readAt(mesh, SHARP);
  for (const angle of [50, 75, 181]) if (read.labels > pieces) read = readAt(mesh, (angle * Math.PI) / 180);
  return read;
}

function readAt({ vertices, triangles }: TriangleMesh, kept: number): SmoothMesh {
  const count = triangles.length / 3;
  const twin = pair(triangles, vertices.length / 3);
  const at = (v: number): Vec3 => [vertices[3 * v]!, vertices[3 * v + 1]!, vertices[3 * v + 2]!];
  const area: Vec3[] = [];
  for (let t = 0; t < count; t++) {
    const [a, b, c] = [at(triangles[3 * t]!), at(triangles[3 * t + 1]!), at(triangles[3 * t + 2]!)];
    area.push(cross(subtract(b, a), subtract(c, a)));
  }
  const edges = (angle: number): Uint8Array => {
    const marked = new Uint8Array(3 * count);
    for (let h = 0; h < 3 * count; h++) {
      const other = twin[h]!;
      if (other < 0) marked[h] = 1;
      else if (other > h && turned(area[(h / 3) | 0]!, area[(other / 3) | 0]!, angle)) {
        marked[h] = 1;
        marked[other] = 1;
      }
    }
    return marked;
  };
  const crease = edges(SHARP);
  const sharp = kept === SHARP ? crease : edges(kept);
  const { label, labels } = pieces(twin, sharp, count);
  const normal = cornerNormals(triangles, twin, crease, area, at);
  const mesh = { vertices, triangles, twin, sharp, label, labels, normal, mid: [] as Vec3[] };
  mesh.mid = midSides({ ...mesh, sharp: crease }, at);
  return mesh;
}

function turned(a: Vec3, b: Vec3, angle: number): boolean {
  const l = length(a) * length(b);
  return l > 0 && dot(a, b) < Math.cos(Math.min(angle, Math.PI)) * l - (angle > Math.PI ? 3 * l : 0);
}

function pair(triangles: Uint32Array, vertexCount: number): Int32Array {
  const twin = new Int32Array(triangles.length).fill(-1);
  const open = new Map<number, number>();
  for (let h = 0; h < triangles.length; h++) {
    const [a, b] = [triangles[h]!, triangles[nextOf(h)]!];
    const other = open.get(b * vertexCount + a);
    if (other !== undefined) {
      twin[h] = other;
      twin[other] = h;
      open.delete(b * vertexCount + a);
    } else open.set(a * vertexCount + b, h);
  }
  return twin;
}

/** Pieces of triangles joined across smooth edges. */
function pieces(twin: Int32Array, sharp: Uint8Array, count: number): { label: Int32Array; labels: number } {
  const label = new Int32Array(count).fill(-1);
  let labels = 0;
  for (let seed = 0; seed < count; seed++) {
    if (label[seed]! >= 0) continue;
    const stack = [seed];
    label[seed] = labels;
    while (stack.length > 0) {
      const t = stack.pop()!;
      for (const h of [3 * t, 3 * t + 1, 3 * t + 2]) {
        if (sharp[h]) continue;
        const n = (twin[h]! / 3) | 0;
        if (label[n]! >= 0) continue;
        label[n] = labels;
        stack.push(n);
      }
    }
    labels++;
  }
  return { label, labels };
}

/**
 * Normal of a fan, weighted by angle. Facets much smaller than the largest are left out: where a rounding in small facets
 * meets a flat in large ones, the flat's normal is the true one.
 */
function fanNormal(fan: number[], triangles: Uint32Array, area: Vec3[], at: (v: number) => Vec3): Vec3 {
  const before = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);
  const facet = fan.map((h) => {
    const l = length(area[(h / 3) | 0]!);
    const p = at(triangles[h]!);
    const [e, f] = [subtract(at(triangles[nextOf(h)]!), p), subtract(at(triangles[before(h)]!), p)];
    return {
      l,
      n: scale(area[(h / 3) | 0]!, l > 0 ? 1 / l : 0),
      angle: Math.atan2(length(cross(e, f)), dot(e, f)),
    };
  });
  // A flat facet cut into triangles counts by its largest one.
  const width = (n: Vec3): number => Math.max(...facet.filter((g) => dot(g.n, n) > COPLANAR).map((g) => g.l));
  const widths = facet.map((g) => width(g.n));
  const largest = Math.max(...widths);
  let sum: Vec3 = [0, 0, 0];
  facet.forEach((g, i) => {
    if (widths[i]! * DWARFED > largest) sum = along(sum, g.n, g.angle);
  });
  return unit(sum);
}

/** Normals by angle-weighted mean over the triangles around a corner that no sharp edge separates from it. */
function cornerNormals(
  triangles: Uint32Array,
  twin: Int32Array,
  sharp: Uint8Array,
  area: Vec3[],
  at: (v: number) => Vec3,
): Vec3[] {
  const normal: Vec3[] = new Array(triangles.length);
  const before = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);
  for (let start = 0; start < triangles.length; start++) {
    if (normal[start]) continue;
    const fan = [start];
    for (let h = before(start); !sharp[h] && twin[h]! !== start && fan.length < 1000; h = before(twin[h]!))
      fan.push(twin[h]!);
    const round = !sharp[before(fan.at(-1)!)];
    if (!round)
      for (let h = start; !sharp[h] && fan.length < 1000; ) {
        h = nextOf(twin[h]!);
        fan.push(h);
      }
    const n = fanNormal(fan, triangles, area, at);
    for (const h of fan) normal[h] = n;
  }
  return normal;
}

function midSides(mesh: Omit<SmoothMesh, 'mid'>, at: (v: number) => Vec3): Vec3[] {
  const { triangles, twin, sharp, normal } = mesh;
  const tangents = curveTangents(mesh, at);
  const mid: Vec3[] = new Array(triangles.length);
  for (let h = 0; h < triangles.length; h++) {
    if (mid[h]) continue;
    const [a, b] = [at(triangles[h]!), at(triangles[nextOf(h)]!)];
    const e = subtract(b, a);
    const l = length(e);
    let lift: Vec3;
    if (sharp[h]) {
      // Tangents of the curve of edges, turned to run along this edge.
      const turn = (v: number): Vec3 => {
        const t = tangents.get(v);
        return t ? scale(t, (dot(t, e) < 0 ? -1 : 1) * l) : e;
      };
      lift = scale(subtract(turn(triangles[h]!), turn(triangles[nextOf(h)]!)), 1 / 8);
    } else {
      const [n0, n1] = [normal[h]!, normal[nextOf(h)]!];
      lift = scale(subtract(scale(n1, dot(e, n1)), scale(n0, dot(e, n0))), 1 / 8);
    }
    const high = length(lift);
    if (high > LIFT * l) lift = scale(lift, (LIFT * l) / high);
    mid[h] = [(a[0] + b[0]) / 2 + lift[0], (a[1] + b[1]) / 2 + lift[1], (a[2] + b[2]) / 2 + lift[2]];
    if (twin[h]! >= 0) mid[twin[h]!] = mid[h]!;
  }
  return mid;
}

/** Unit tangent at each vertex where a curve of sharp edges passes smoothly. */
function curveTangents(mesh: Omit<SmoothMesh, 'mid'>, at: (v: number) => Vec3): Map<number, Vec3> {
  const ends = new Map<number, number[]>();
  const { triangles, twin, sharp } = mesh;
  for (let h = 0; h < triangles.length; h++) {
    if (!sharp[h] || (twin[h]! >= 0 && twin[h]! < h)) continue;
    const [a, b] = [triangles[h]!, triangles[nextOf(h)]!];
    ends.set(a, [...(ends.get(a) ?? []), b]);
    ends.set(b, [...(ends.get(b) ?? []), a]);
  }
  const tangents = new Map<number, Vec3>();
  for (const [v, others] of ends) {
    if (others.length !== 2) continue;
    const p = at(v);
    const [e, f] = [subtract(p, at(others[0]!)), subtract(at(others[1]!), p)];
    if (dot(unit(e), unit(f)) < Math.cos(CORNER)) continue;
    // A long straight edge before a rounding in short ones keeps its direction; else that of the circle through all three.
    const [le, lf] = [length(e), length(f)];
    if (le > LONGER * lf) tangents.set(v, unit(e));
    else if (lf > LONGER * le) tangents.set(v, unit(f));
    else tangents.set(v, unit(along(scale(e, lf / le), f, le / lf)));
  }
  return tangents;
}
