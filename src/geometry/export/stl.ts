import type { TriangleMesh } from '../surface.js';

/** Binary STL with coordinates divided by `unit` [m per file unit]; single precision, normals from the winding. */
export function writeStl({ vertices, triangles }: TriangleMesh, unit = 1e-3): Uint8Array {
  const count = triangles.length / 3;
  const bytes = new Uint8Array(84 + 50 * count);
  const view = new DataView(bytes.buffer);
  const header = unit === 1e-3 ? 'platewright, units = mm' : 'platewright';
  for (let i = 0; i < header.length; i++) bytes[i] = header.charCodeAt(i);
  view.setUint32(80, count, true);
  for (let t = 0; t < count; t++) {
    const corner = (k: number, x: number): number => vertices[3 * triangles[3 * t + k]! + x]! / unit;
    const u = [0, 1, 2].map((x) => corner(1, x) - corner(0, x)) as [number, number, number];
    const v = [0, 1, 2].map((x) => corner(2, x) - corner(0, x)) as [number, number, number];
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const length = Math.hypot(...n) || 1;
    const at = 84 + 50 * t;
    for (let x = 0; x < 3; x++) {
      view.setFloat32(at + 4 * x, n[x]! / length, true);
      for (let k = 0; k < 3; k++) view.setFloat32(at + 12 + 12 * k + 4 * x, corner(k, x), true);
    }
  }
  return bytes;
}
