import { panelPoint, panelSlopes } from '../panels/measure.js';
import { TriangleTree } from '../panels/mesh/tree.js';
import { facets } from '../panels/skin.js';
import { solidOf } from '../shapes/make.js';
import { place } from '../shapes/placement.js';
import { dot, subtract, type Vec3 } from '../shapes/vector.js';
import type { TriangleMesh } from '../surface.js';
import type { Domain } from './domain.js';

/** Where the points of a display mesh lie on the panels. */
export interface OnPanels {
  /** Panel of each point; -1 where it is dry (above the liquid). */
  panel: Int32Array;
  /** Place in the panel: corner a is (0, 0), b (1, 0), c (0, 1). */
  u: Float64Array;
  v: Float64Array;
  /** Distance from the point to its panel [m]; large where a hook or the like covers the surface. */
  away: Float64Array;
}

/** Fine flat triangles of a body where it stands [m]: the person's own mesh, or a shape within `tolerance` of round. */
export function displayMesh(domain: Domain, body: number, tolerance = 2e-5): TriangleMesh {
  const { form, placement } = domain.spec.bodies[body]!;
  const mesh = form.kind === 'mesh' ? form.mesh : facets(solidOf(form).tessellate(tolerance));
  const vertices = new Float64Array(mesh.vertices.length);
  for (let i = 0; i < vertices.length; i += 3)
    vertices.set(place(placement, [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!]), i);
  return { vertices, triangles: mesh.triangles };
}

/** The four flat triangles through the six nodes of a panel, as (u, v) of their corners. */
const QUARTERS = [
  [
    [0, 0],
    [0.5, 0],
    [0, 0.5],
  ],
  [
    [0.5, 0],
    [1, 0],
    [0.5, 0.5],
  ],
  [
    [0, 0.5],
    [0.5, 0.5],
    [0, 1],
  ],
  [
    [0.5, 0.5],
    [0, 0.5],
    [0.5, 0],
  ],
] as const;

/** Finds the panel and the place in it nearest to each point [xyz, m] of a body's surface. */
export function onPanels(domain: Domain, body: number, points: Float64Array): OnPanels {
  const own = [...domain.owner.keys()].filter((t) => domain.owner[t] === body);
  const count = points.length / 3;
  const found: OnPanels = {
    panel: new Int32Array(count).fill(-1),
    u: new Float64Array(count),
    v: new Float64Array(count),
    away: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
  };
  if (own.length === 0) return found;
  const corners: number[] = [];
  for (const t of own)
    for (const quarter of QUARTERS)
      for (const [u, v] of quarter) corners.push(...panelPoint(domain.surface, t, u, v));
  const tree = new TriangleTree(
    Float64Array.from(corners),
    Uint32Array.from({ length: corners.length / 3 }, (_, i) => i),
  );
  const dry = (domain.mirrorHeight ?? Number.POSITIVE_INFINITY) + 1e-9;
  for (let i = 0; i < count; i++) {
    const p: Vec3 = [points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!];
    if (p[2] > dry) continue;
    const hit = tree.nearest(p)!;
    const t = own[hit.triangle >> 2]!;
    const [a, b, c] = QUARTERS[hit.triangle & 3]!;
    const l = 1 - hit.u - hit.v;
    const start = [0, 1].map((d) => l * a[d]! + hit.u * b[d]! + hit.v * c[d]!) as [number, number];
    const [u, v] = settle(domain, t, start, p);
    found.panel[i] = t;
    found.u[i] = u;
    found.v[i] = v;
    found.away[i] = Math.hypot(...subtract(panelPoint(domain.surface, t, u, v), p));
  }
  return found;
}

/** A few Gauss-Newton steps toward the nearest point of the curved panel, kept inside it and only while they get nearer. */
function settle(domain: Domain, t: number, start: [number, number], p: Vec3): [number, number] {
  let [u, v] = start;
  let d = subtract(p, panelPoint(domain.surface, t, u, v));
  for (let k = 0; k < 4; k++) {
    const [a, b] = panelSlopes(domain.surface, t, u, v);
    const [aa, ab, bb] = [dot(a, a), dot(a, b), dot(b, b)];
    const det = aa * bb - ab * ab;
    if (!(det > 0)) break;
    const to = inside(
      u + (bb * dot(a, d) - ab * dot(b, d)) / det,
      v + (aa * dot(b, d) - ab * dot(a, d)) / det,
    );
    const next = subtract(p, panelPoint(domain.surface, t, ...to));
    if (dot(next, next) >= dot(d, d)) break;
    [u, v] = to;
    d = next;
  }
  return [u, v];
}

function inside(u: number, v: number): [number, number] {
  const [x, y] = [Math.max(0, u), Math.max(0, v)];
  const over = Math.max(1, x + y);
  return [x / over, y / over];
}

/**
 * Values on a display mesh from values at the six nodes of each panel (in the order of `surface.panels`, six a panel;
 * neighbours may disagree). NaN where dry.
 */
export function interpolate(places: OnPanels, atNodes: ArrayLike<number>): Float64Array {
  return Float64Array.from(places.panel, (t, i) => {
    if (t < 0) return Number.NaN;
    const [u, v] = [places.u[i]!, places.v[i]!];
    const l = 1 - u - v;
    const weights = [l * (2 * l - 1), u * (2 * u - 1), v * (2 * v - 1), 4 * l * u, 4 * u * v, 4 * v * l];
    return weights.reduce((sum, w, k) => sum + w * atNodes[6 * t + k]!, 0);
  });
}

/**
 * For each panel of a body the triangle of a mesh (where it stands) nearest to its middle, -1 for panels of others:
 * carries what was painted on the mesh, e.g. the significant surface, over to the panels.
 */
export function sourceTriangles(domain: Domain, body: number, mesh: TriangleMesh): Int32Array {
  const tree = new TriangleTree(mesh.vertices, mesh.triangles);
  return domain.owner.map((owner, t) =>
    owner === body ? (tree.nearest(panelPoint(domain.surface, t, 1 / 3, 1 / 3))?.triangle ?? -1) : -1,
  );
}
