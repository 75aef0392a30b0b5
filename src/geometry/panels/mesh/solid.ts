import { type Problem, plain } from '../../../units/index.js';
import type { Face, Solid } from '../../shapes/solid.js';
import { add, cross, distance, dot, subtract, unit, type Vec3 } from '../../shapes/vector.js';
import type { TriangleMesh } from '../../surface.js';
import { panelAreas, volumeBelow } from '../measure.js';
import { FlexMesh, next, tri } from '../remesh/flex.js';
import { curved, mend } from '../remesh/mend.js';
import { type Metric, stretched } from '../remesh/metric.js';
import { remesh } from '../remesh/remesh.js';
import { type Fineness, gapAt, noFinerThan, type Quality, type SizeRequest, SLIT } from '../size.js';
import type { Skin } from '../skin.js';
import { SizeField } from './field.js';
import { Pieces } from './pieces.js';
import { bendOf, curvature, meshFineness, type Seed, seedsOf } from './sizes.js';
import { CORNER, type SmoothMesh, smoothMesh } from './smooth.js';
import { TriangleTree } from './tree.js';

/** Panels a body from a file may have at most; sizes are raised until it fits. */
const BUDGET: Record<Quality, number> = { draft: 1200, standard: 4000, fine: 14000 };

/** A closed triangle mesh (metres, facing outward) as a solid: its smooth pieces are its faces. */
export function meshSolid(mesh: TriangleMesh): Solid {
  const smooth = smoothMesh(mesh, BUDGET.standard / 8);
  const tree = new TriangleTree(mesh.vertices, mesh.triangles);
  const bounds = boundsOf(mesh.vertices);
  const size = Math.max(...bounds.max.map((x, k) => x - bounds.min[k]!));
  const tolerance = 1e-9 * size;
  const pieces = new Pieces(smooth);
  const faces: Face[] = Array.from({ length: smooth.labels }, (_, label) => ({
    closest: (p: Vec3) => pieces.closest(p, label),
  }));
  const flat = flatSkin(mesh);
  const [area, volume] = [total(panelAreas(flat)), volumeBelow(flat, 0)];
  const round = patchSkin(smooth);
  const changed = { area: total(panelAreas(round)) / area - 1, volume: volumeBelow(round, 0) / volume - 1 };
  const seeds = new Map<Quality, Seed[]>();
  const seedsAt = (quality: Quality): Seed[] => {
    const known = seeds.get(quality) ?? seedsOf(smooth, meshFineness(quality), size);
    seeds.set(quality, known);
    return known;
  };
  return {
    faces,
    distance: signedDistance(smooth, tree),
    panels: (request) =>
      meshPanels(smooth, pieces, seedsAt(request.quality), eased(request, size), size, tolerance),
    tessellate: () => flat,
    area,
    volume,
    tolerance,
    bounds,
    samples: some(mesh.vertices, 3000),
    freelyCut: true,
    remarks: remarksOn(changed),
  };
}

const eased = (request: SizeRequest, size: number): SizeRequest =>
  noFinerThan(request, SLIT * meshFineness(request.quality).edge * size);

const total = (a: Float64Array): number => a.reduce((x, y) => x + y, 0);

/** Said when reading facets as smooth changes the part by more than a measurement would show. */
function remarksOn(changed: { area: number; volume: number }): Problem[] {
  if (Math.max(Math.abs(changed.area), Math.abs(changed.volume)) < 2e-3) return [];
  return [
    {
      code: 'facets-read-as-smooth',
      path: '',
      message: `Facets that turn gently were read as a smooth surface: area ${plain(100 * changed.area)} %, volume ${plain(100 * changed.volume)} % against the flat facets.`,
      hint: 'If the part really has facets, nothing is lost but this much; export it finer if it is round.',
    },
  ];
}

function boundsOf(vertices: Float64Array): { min: Vec3; max: Vec3 } {
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  vertices.forEach((x, i) => {
    min[i % 3] = Math.min(min[i % 3]!, x);
    max[i % 3] = Math.max(max[i % 3]!, x);
  });
  return { min: min as unknown as Vec3, max: max as unknown as Vec3 };
}

/** Every so many vertices, at most `most` of them. */
function some(vertices: Float64Array, most: number): Float64Array {
  const step = Math.max(1, Math.ceil(vertices.length / 3 / most));
  return vertices.filter((_, i) => Math.floor(i / 3) % step === 0);
}

/** Sign by the normal of the triangle, edge or corner the nearest point lies on (Baerentzen and Aanaes 2005; from memory). */
function signedDistance(mesh: SmoothMesh, tree: TriangleTree): (p: Vec3) => number {
  const { triangles, twin, vertices } = mesh;
  const at = (v: number): Vec3 => [vertices[3 * v]!, vertices[3 * v + 1]!, vertices[3 * v + 2]!];
  const corner = (t: number, k: number): Vec3 => at(triangles[3 * t + k]!);
  const facing = (t: number): Vec3 =>
    unit(cross(subtract(corner(t, 1), corner(t, 0)), subtract(corner(t, 2), corner(t, 0))));
  const atVertex = new Map<number, Vec3>();
  for (let h = 0; h < triangles.length; h++) {
    const [t, k] = [(h / 3) | 0, h % 3];
    const [e, f] = [
      unit(subtract(corner(t, (k + 1) % 3), corner(t, k))),
      unit(subtract(corner(t, (k + 2) % 3), corner(t, k))),
    ];
    const angle = Math.acos(Math.min(1, Math.max(-1, dot(e, f))));
    const n = facing(t);
    const sum = atVertex.get(triangles[h]!) ?? [0, 0, 0];
    atVertex.set(triangles[h]!, [sum[0] + angle * n[0], sum[1] + angle * n[1], sum[2] + angle * n[2]]);
  }
  const EPS = 1e-9;
  return (p) => {
    const hit = tree.nearest(p);
    if (!hit) return Number.POSITIVE_INFINITY;
    const { triangle: t, u, v } = hit;
    const l = 1 - u - v;
    const [a, b, c] = [corner(t, 0), corner(t, 1), corner(t, 2)];
    const q: Vec3 = [0, 1, 2].map((d) => l * a[d]! + u * b[d]! + v * c[d]!) as unknown as Vec3;
    let n = facing(t);
    const off = [v < EPS, l < EPS, u < EPS];
    if (off.filter(Boolean).length === 2)
      n = atVertex.get(triangles[3 * t + (l > 0.5 ? 0 : u > 0.5 ? 1 : 2)]!)!;
    else {
      const k = off.indexOf(true);
      const other = k >= 0 ? twin[3 * t + k]! : -1;
      if (other >= 0) n = add(n, facing((other / 3) | 0));
    }
    return (dot(subtract(p, q), n) < 0 ? -1 : 1) * distance(p, q);
  };
}

/** The flat triangles as panels. */
function flatSkin({ vertices, triangles }: TriangleMesh): Skin {
  const mesh = new FlexMesh(vertices, triangles, new Int32Array(triangles.length / 3));
  return curved(mesh, (h) => {
    const [a, b] = [mesh.point(mesh.org[h]!), mesh.point(mesh.org[next(h)]!)];
    return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
  });
}

/** The curved patches as panels. */
const patchSkin = (mesh: SmoothMesh): Skin =>
  curved(new FlexMesh(mesh.vertices, mesh.triangles, mesh.label), (h) => mesh.mid[h]!);

function meshPanels(
  smooth: SmoothMesh,
  pieces: Pieces,
  seeds: Seed[],
  request: SizeRequest,
  size: number,
  tolerance: number,
): Skin {
  const f = meshFineness(request.quality);
  const field = withinBudget(smooth, seeds, request.quality, size);
  const mesh = new FlexMesh(smooth.vertices, smooth.triangles, smooth.label);
  for (let h = 0; h < mesh.sharp.length; h++) if (smooth.sharp[h]) mesh.sharp[h] = 1;
  const stuck = cornersOf(mesh);
  const curving = curvatureLimits(smooth, f, size);
  const metric = (p: Vec3, labels: number[]): Metric => {
    const hits = labels.map((l) => pieces.hit(p, l));
    const { across, along, direction } = field.at(p, facing(smooth, hits[0]!.triangle));
    const curves = hits.map((hit) => curving(hit.triangle, field.factor));
    const most = Math.max(f.gap * gapAt(request, p), 2e-4 * size);
    // The bow of a curved sharp edge must stay well inside the first row of panels beside it.
    const sharpest = labels.length > 1 ? Math.max(...curves.map((c) => c.most)) : 0;
    const bow = Math.sqrt(across / (0.6 * sharpest));
    const wanted = stretched(
      direction,
      Math.min(across, most),
      Math.max(Math.min(along, most, bow), 0.5 * across),
    );
    return curves.reduce((m, curve) => plus(m, curve.metric), wanted);
  };
  const asked = {
    metric,
    project: (p: Vec3, labels: number[]) => pieces.project(p, labels, tolerance),
    between: (a: Vec3, b: Vec3, t: number, labels: number[]) =>
      pieces.project(
        [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1]), a[2] + t * (b[2] - a[2])],
        labels,
        tolerance,
      ),
    fixed: (v: number) => stuck.has(v),
  };
  // A mesh of endless detail gets fewer rounds: time is bounded.
  const rounds = smooth.triangles.length > 90000 || smooth.labels > 200 ? 4 : 6;
  const most = smooth.triangles.length / 3 + 6 * BUDGET[request.quality];
  remesh(mesh, { ...asked, rounds, most, ...(request.watch && { watch: request.watch }) });
  const mids = new Map<string, Vec3>();
  const midOf = (h: number): Vec3 => {
    const [a, b] = [mesh.org[h]!, mesh.org[next(h)]!];
    const name = a < b ? `${a},${b}` : `${b},${a}`;
    let mid = mids.get(name);
    if (!mid) {
      const twin = mesh.twin[h]!;
      const labels = [...new Set([mesh.label[tri(h)]!, mesh.label[tri(twin >= 0 ? twin : h)]!])];
      mid = asked.between(mesh.point(a), mesh.point(b), 0.5, labels);
      mids.set(name, mid);
    }
    return mid;
  };
  const folded = mend(mesh, midOf, asked.between);
  const skin = curved(mesh, midOf);
  const worn = total(panelAreas(skin)) / total(panelAreas(patchSkin(smooth))) - 1;
  return { ...skin, remarks: fidelity(worn, folded) };
}

/** Said when panels are too few to follow the form. */
function fidelity(worn: number, folded: number): Problem[] {
  const remarks: Problem[] = [];
  if (Math.abs(worn) > 5e-3)
    remarks.push({
      code: 'detail-worn-off',
      path: '',
      message: `Detail finer than the panels was smoothed over: the surface used for the field is ${plain(100 * worn)} % off in area.`,
      hint: 'Ask for a finer mesh; the current in such fine detail is uncertain either way.',
    });
  if (folded > 0)
    remarks.push({
      code: 'panels-folded',
      path: '',
      message: `${folded} panels of the part fold over themselves at tight corners; the current just there is doubtful.`,
      hint: 'Export the part without slivers, or ask for a finer mesh.',
    });
  return remarks;
}

/** What the curvature of each original triangle asks for along its two main directions, as a metric to add. */
function curvatureLimits(
  mesh: SmoothMesh,
  f: Fineness,
  size: number,
): (t: number, factor: number) => { metric: Metric; most: number } {
  const known = new Map<number, { metric: Metric; most: number }>();
  return (t, factor) => {
    let limit = known.get(t);
    if (!limit) {
      const p = [0, 1, 2].map((k) => vertexOf(mesh, 3 * t + k)) as [Vec3, Vec3, Vec3];
      const n = [0, 1, 2].map((k) => mesh.normal[3 * t + k]!) as [Vec3, Vec3, Vec3];
      const { most, least, direction } = curvature(p, n);
      const other = cross(facing(mesh, t), direction);
      const side = (k: number): number => 0.7 * (k / (bendOf(k, f, size) * factor)) ** 2;
      limit = { metric: plus(outer(direction, side(most)), outer(other, side(least))), most };
      known.set(t, limit);
    }
    return limit;
  };
}

const outer = ([x, y, z]: Vec3, s: number): Metric => [
  s * x * x,
  s * x * y,
  s * x * z,
  s * y * y,
  s * y * z,
  s * z * z,
];
const plus = (a: Metric, b: Metric): Metric => a.map((x, i) => x + b[i]!) as unknown as Metric;

const vertexOf = (mesh: SmoothMesh, h: number): Vec3 => {
  const i = 3 * mesh.triangles[h]!;
  return [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!];
};

const facing = (mesh: SmoothMesh, t: number): Vec3 => {
  const p = [0, 1, 2].map((k) => {
    const i = 3 * mesh.triangles[3 * t + k]!;
    return [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!] as const;
  });
  return unit(cross(subtract(p[1]!, p[0]!), subtract(p[2]!, p[0]!)));
};

/** Vertices where a curve of sharp edges turns a corner, or runs out inside a face. */
function cornersOf(mesh: FlexMesh): Set<number> {
  const stuck = new Set<number>();
  for (let v = 0; v < mesh.out.length; v++) {
    if (mesh.out[v]! < 0) continue;
    const ends = mesh.sharpAround(v);
    if (ends.length !== 2) continue;
    const p = mesh.point(v);
    const [e, g] = [unit(subtract(p, mesh.point(ends[0]!))), unit(subtract(mesh.point(ends[1]!), p))];
    if (dot(e, g) < Math.cos(CORNER) || mesh.labelsAround(v).length < 2) stuck.add(v);
  }
  return stuck;
}

/** The size field whose panels number about what the quality allows. */
function withinBudget(smooth: SmoothMesh, seeds: Seed[], quality: Quality, size: number): SizeField {
  const f = meshFineness(quality);
  let factor = 1;
  for (let i = 0; ; i++) {
    const field = new SizeField(seeds, f.growth, f.largest * size, factor);
    const count = expected(smooth, field);
    if (count <= BUDGET[quality] || i === 3) return field;
    factor *= Math.sqrt(count / BUDGET[quality]);
  }
}

/** Panels a size field asks for: area over that of an equilateral triangle of the wanted sides. */
function expected(mesh: SmoothMesh, field: SizeField): number {
  let count = 0;
  const triangles = mesh.triangles.length / 3;
  // Very fine meshes are sampled.
  const step = Math.max(1, Math.floor(triangles / 3000));
  for (let t = 0; t < triangles; t += step) {
    const [a, b, c] = [0, 1, 2].map((k) => {
      const i = 3 * mesh.triangles[3 * t + k]!;
      return [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!] as const;
    }) as unknown as [Vec3, Vec3, Vec3];
    const n = cross(subtract(b, a), subtract(c, a));
    const area = Math.hypot(...n) / 2;
    if (area === 0) continue;
    const longest = Math.max(distance(a, b), distance(b, c), distance(c, a));
    const cuts = Math.min(12, Math.max(1, Math.ceil(longest / (4 * field.at(a, unit(n)).across))));
    for (let i = 0; i < cuts; i++)
      for (let j = 0; j < cuts - i; j++) {
        const [u, v] = [(i + 1 / 3) / cuts, (j + 1 / 3) / cuts];
        const p: Vec3 = [0, 1, 2].map(
          (d) => a[d]! + u * (b[d]! - a[d]!) + v * (c[d]! - a[d]!),
        ) as unknown as Vec3;
        const { across, along } = field.at(p, unit(n));
        count += (step * area) / ((cuts * (cuts + 1)) / 2) / (0.433 * across * along);
      }
  }
  return count;
}
