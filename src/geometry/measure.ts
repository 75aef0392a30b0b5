import type { TriangleMesh } from './surface.js';

/** What a part amounts to; of the facets as given, so a coarse mesh of a round part measures a little small. */
export interface Measures {
  /** [m2] */
  area: number;
  /** Signed [m3]; positive for a surface wound outward. Taken about the middle of the bounds. */
  volume: number;
  /** [m] */
  bounds: { min: [number, number, number]; max: [number, number, number] };
}

/** A sum that carries its rounding error along (Neumaier 1974), so that a million facets cost no digits. */
class Sum {
  private sum = 0;
  private rest = 0;
  add(x: number): void {
    const next = this.sum + x;
    this.rest += Math.abs(this.sum) >= Math.abs(x) ? this.sum - next + x : x - next + this.sum;
    this.sum = next;
  }
  get value(): number {
    return this.sum + this.rest;
  }
}

type Point = readonly [number, number, number];

/** Area by cross products, volume by the divergence theorem, bounds of the vertices that are used. */
export function measure(mesh: TriangleMesh): Measures {
  const bounds = boundsOf(mesh);
  return { ...areaAndVolume(mesh, middle(bounds)), bounds };
}

/**
 * The part of the surface below the height z [m]: its area [m2] and the volume of the solid below z [m3].
 * The area does not count the cut itself, as the liquid's surface does not plate.
 */
export function measureBelow(mesh: TriangleMesh, z: number): { area: number; volume: number } {
  const { min, max } = boundsOf(mesh);
  // Cones from a point on the cutting plane: the cut face adds nothing to the volume.
  const origin: Point = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, z];
  const area = new Sum();
  const volume = new Sum();
  eachTriangle(mesh, (a, b, c) => {
    const below = clipBelow([a, b, c], z);
    for (let k = 1; k + 1 < below.length; k++) add(area, volume, origin, below[0]!, below[k]!, below[k + 1]!);
  });
  return { area: area.value, volume: volume.value };
}

export function boundsOf({ vertices, triangles }: TriangleMesh): Measures['bounds'] {
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (const v of triangles)
    for (let k = 0; k < 3; k++) {
      const x = vertices[3 * v + k]!;
      if (x < min[k]!) min[k] = x;
      if (x > max[k]!) max[k] = x;
    }
  return { min, max };
}

const middle = ({ min, max }: Measures['bounds']): Point => [
  (min[0] + max[0]) / 2,
  (min[1] + max[1]) / 2,
  (min[2] + max[2]) / 2,
];

function areaAndVolume(mesh: TriangleMesh, origin: Point): { area: number; volume: number } {
  const area = new Sum();
  const volume = new Sum();
  eachTriangle(mesh, (a, b, c) => add(area, volume, origin, a, b, c));
  return { area: area.value, volume: volume.value };
}

function eachTriangle(
  { vertices, triangles }: TriangleMesh,
  use: (a: Point, b: Point, c: Point) => void,
): void {
  const point = (corner: number): Point => {
    const at = 3 * triangles[corner]!;
    return [vertices[at]!, vertices[at + 1]!, vertices[at + 2]!];
  };
  for (let i = 0; i < triangles.length; i += 3) use(point(i), point(i + 1), point(i + 2));
}

function add(area: Sum, volume: Sum, o: Point, a: Point, b: Point, c: Point): void {
  const ux = b[0] - a[0];
  const uy = b[1] - a[1];
  const uz = b[2] - a[2];
  const vx = c[0] - a[0];
  const vy = c[1] - a[1];
  const vz = c[2] - a[2];
  const nx = uy * vz - uz * vy;
  const ny = uz * vx - ux * vz;
  const nz = ux * vy - uy * vx;
  area.add(0.5 * Math.sqrt(nx * nx + ny * ny + nz * nz));
  volume.add(((a[0] - o[0]) * nx + (a[1] - o[1]) * ny + (a[2] - o[2]) * nz) / 6);
}

/** The polygon below the height z. */
function clipBelow(polygon: readonly Point[], z: number): Point[] {
  const out: Point[] = [];
  polygon.forEach((p, i) => {
    const q = polygon[(i + 1) % polygon.length]!;
    if (p[2] <= z) out.push(p);
    if (p[2] < z !== q[2] < z && p[2] !== z && q[2] !== z) {
      const s = (z - p[2]) / (q[2] - p[2]);
      out.push([p[0] + s * (q[0] - p[0]), p[1] + s * (q[1] - p[1]), z]);
    }
  });
  return out;
}
