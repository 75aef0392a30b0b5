/**
 * Normals a corner, smooth across edges blunter than `crease` [rad] and sharp across the others: each corner takes the
 * area-weighted mean of the faces at its vertex that lie within the crease of its own. Works in any unit of length.
 */
export function creasedNormals(
  positions: ArrayLike<number>,
  triangles: ArrayLike<number>,
  crease: number,
): Float32Array {
  const corners = triangles.length;
  const faces = corners / 3;
  const area = new Float64Array(3 * faces);
  const unit = new Float32Array(3 * faces);
  for (let f = 0; f < faces; f++) {
    const [a, b, c] = [3 * triangles[3 * f]!, 3 * triangles[3 * f + 1]!, 3 * triangles[3 * f + 2]!];
    const [ux, uy, uz] = [0, 1, 2].map((k) => positions[b + k]! - positions[a + k]!) as [
      number,
      number,
      number,
    ];
    const [vx, vy, vz] = [0, 1, 2].map((k) => positions[c + k]! - positions[a + k]!) as [
      number,
      number,
      number,
    ];
    const n = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const size = Math.hypot(n[0]!, n[1]!, n[2]!) || 1;
    for (let k = 0; k < 3; k++) {
      area[3 * f + k] = n[k]!;
      unit[3 * f + k] = n[k]! / size;
    }
  }
  const { start, list } = facesByVertex(triangles, positions.length / 3);
  const least = Math.cos(crease);
  const out = new Float32Array(3 * corners);
  for (let corner = 0; corner < corners; corner++) {
    const own = 3 * Math.floor(corner / 3);
    const vertex = triangles[corner]!;
    let [x, y, z] = [0, 0, 0];
    for (let i = start[vertex]!; i < start[vertex + 1]!; i++) {
      const f = 3 * list[i]!;
      const along = unit[own]! * unit[f]! + unit[own + 1]! * unit[f + 1]! + unit[own + 2]! * unit[f + 2]!;
      if (along < least) continue;
      x += area[f]!;
      y += area[f + 1]!;
      z += area[f + 2]!;
    }
    const size = Math.hypot(x, y, z) || 1;
    out.set([x / size, y / size, z / size], 3 * corner);
  }
  return out;
}

/** Faces around each vertex: those of vertex v are list[start[v]] up to list[start[v + 1]]. */
function facesByVertex(triangles: ArrayLike<number>, vertices: number) {
  const start = new Uint32Array(vertices + 1);
  for (let i = 0; i < triangles.length; i++) start[triangles[i]! + 1]! += 1;
  for (let v = 0; v < vertices; v++) start[v + 1]! += start[v]!;
  const next = start.slice();
  const list = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    const vertex = triangles[i]!;
    list[next[vertex]!] = Math.floor(i / 3);
    next[vertex]! += 1;
  }
  return { start, list };
}
