/**
 * The lines a draughtsman would draw of a body: outlines seen from the eye, edges sharper than `sharp` (cosine between
 * the faces), and open rims. Of an `opaque` body only the lines that touch a face turned to the eye.
 * Six numbers a line: x, y, depth of both ends.
 */
export function outline(
  projected: Float64Array,
  triangles: Uint32Array,
  opaque: boolean,
  sharp = 0.5,
): number[] {
  const sides = new Map<string, { from: number; to: number; normals: number[][] }>();
  const weld = welded(projected);
  for (let t = 0; t < triangles.length; t += 3) {
    const corners = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const n = faceNormal(projected, corners);
    for (let k = 0; k < 3; k++) {
      const [from, to] = [weld[corners[k]!]!, weld[corners[(k + 1) % 3]!]!];
      if (from === to) continue;
      const key = from < to ? `${from} ${to}` : `${to} ${from}`;
      const side = sides.get(key);
      if (side) side.normals.push(n);
      else sides.set(key, { from, to, normals: [n] });
    }
  }
  const lines: number[] = [];
  for (const { from, to, normals } of sides.values()) {
    const [n, m] = normals;
    if (opaque && normals.every((normal) => normal[2]! <= 0)) continue;
    const drawn =
      !n || !m || n[2]! > 0 !== m[2]! > 0 || n[0]! * m[0]! + n[1]! * m[1]! + n[2]! * m[2]! < sharp;
    if (drawn) for (const v of [from, to]) lines.push(...projected.subarray(3 * v, 3 * v + 3));
  }
  return lines;
}

/** First vertex at the same place, for meshes that repeat their vertices. */
function welded(points: Float64Array): Uint32Array {
  const first = new Map<string, number>();
  const out = new Uint32Array(points.length / 3);
  for (let v = 0; v < out.length; v++) {
    const key = `${points[3 * v]!.toPrecision(6)} ${points[3 * v + 1]!.toPrecision(6)} ${points[3 * v + 2]!.toPrecision(6)}`;
    const known = first.get(key);
    if (known === undefined) first.set(key, v);
    out[v] = known ?? v;
  }
  return out;
}

function faceNormal(p: Float64Array, [a, b, c]: number[]): number[] {
  const u = [0, 1, 2].map((i) => p[3 * b! + i]! - p[3 * a! + i]!);
  const v = [0, 1, 2].map((i) => p[3 * c! + i]! - p[3 * a! + i]!);
  const n = [u[1]! * v[2]! - u[2]! * v[1]!, u[2]! * v[0]! - u[0]! * v[2]!, u[0]! * v[1]! - u[1]! * v[0]!];
  const size = Math.hypot(...n) || 1;
  return n.map((k) => k / size);
}
