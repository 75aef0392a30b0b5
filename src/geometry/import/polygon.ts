import earcut from 'earcut';

/**
 * Cuts a polygon in space into triangles that use every corner.
 * A fan from the first corner is wrong for concave outlines (it folds over itself), so anything beyond a triangle and
 * a convex quadrilateral goes through ear clipping (earcut) in the plane of Newell's normal. Ear clipping leaves out
 * corners that lie on a straight edge; they are put back, because the neighbouring face uses them and the surface would
 * crack there.
 * @param corners vertex numbers around the polygon
 * @param vertices xyz after xyz
 * @returns three vertex numbers a triangle, wound as the polygon
 */
export function triangulatePolygon(corners: ArrayLike<number>, vertices: ArrayLike<number>): number[] {
  const n = corners.length;
  const flat = n > 3 ? project(corners, vertices) : undefined;
  const cut = flat && !(n === 4 && isConvex(flat)) ? putBack(earcut(flat), n) : fan(n);
  if (flat && signedArea(flat, cut) < 0)
    for (let i = 0; i < cut.length; i += 3) [cut[i + 1], cut[i + 2]] = [cut[i + 2]!, cut[i + 1]!];
  return cut.map((i) => corners[i]!);
}

function fan(n: number): number[] {
  const triangles: number[] = [];
  for (let i = 1; i + 1 < n; i++) triangles.push(0, i, i + 1);
  return triangles;
}

/** Area vector of a closed outline, twice the area in length (Newell's sum); taken about the first corner. */
export function newell(corners: ArrayLike<number>, vertices: ArrayLike<number>): [number, number, number] {
  const o = 3 * corners[0]!;
  const sum: [number, number, number] = [0, 0, 0];
  for (let i = 1; i + 1 < corners.length; i++) {
    const p = 3 * corners[i]!;
    const q = 3 * corners[i + 1]!;
    const [ax, ay, az] = [0, 1, 2].map((k) => vertices[p + k]! - vertices[o + k]!) as [
      number,
      number,
      number,
    ];
    const [bx, by, bz] = [0, 1, 2].map((k) => vertices[q + k]! - vertices[o + k]!) as [
      number,
      number,
      number,
    ];
    sum[0] += ay * bz - az * by;
    sum[1] += az * bx - ax * bz;
    sum[2] += ax * by - ay * bx;
  }
  return sum;
}

/** The outline seen along its normal, counter-clockwise; undefined where it has no area or is not finite. */
function project(corners: ArrayLike<number>, vertices: ArrayLike<number>): number[] | undefined {
  const normal = newell(corners, vertices);
  const length = Math.hypot(...normal);
  if (!(length > 0) || !Number.isFinite(length)) return undefined;
  const [nx, ny, nz] = normal.map((x) => x / length) as [number, number, number];
  const least =
    Math.abs(nx) < Math.abs(ny) ? (Math.abs(nx) < Math.abs(nz) ? 0 : 2) : Math.abs(ny) < Math.abs(nz) ? 1 : 2;
  const e = [0, 0, 0];
  e[least] = 1;
  let ux = ny * e[2]! - nz * e[1]!;
  let uy = nz * e[0]! - nx * e[2]!;
  let uz = nx * e[1]! - ny * e[0]!;
  const u = Math.hypot(ux, uy, uz);
  ux /= u;
  uy /= u;
  uz /= u;
  const [vx, vy, vz] = [ny * uz - nz * uy, nz * ux - nx * uz, nx * uy - ny * ux];
  const o = 3 * corners[0]!;
  const flat: number[] = [];
  for (let i = 0; i < corners.length; i++) {
    const p = 3 * corners[i]!;
    const x = vertices[p]! - vertices[o]!;
    const y = vertices[p + 1]! - vertices[o + 1]!;
    const z = vertices[p + 2]! - vertices[o + 2]!;
    flat.push(x * ux + y * uy + z * uz, x * vx + y * vy + z * vz);
  }
  return flat;
}

const cross = (f: number[], a: number, b: number, c: number): number =>
  (f[2 * b]! - f[2 * a]!) * (f[2 * c + 1]! - f[2 * a + 1]!) -
  (f[2 * b + 1]! - f[2 * a + 1]!) * (f[2 * c]! - f[2 * a]!);

const isConvex = (flat: number[]): boolean =>
  [0, 1, 2, 3].every((i) => cross(flat, i, (i + 1) % 4, (i + 2) % 4) > 0);

const signedArea = (flat: number[], triangles: number[]): number => {
  let sum = 0;
  for (let i = 0; i < triangles.length; i += 3)
    sum += cross(flat, triangles[i]!, triangles[i + 1]!, triangles[i + 2]!);
  return sum;
};

/** Splits outer edges i..j of a triangulation that jump over corners i+1..j-1, so that these are used again. */
function putBack(triangles: number[], n: number): number[] {
  if (triangles.length === 0) return fan(n);
  const used = new Uint8Array(n);
  for (const t of triangles) used[t] = 1;
  if (!used.includes(0)) return triangles;
  const next = (i: number): number => {
    let j = (i + 1) % n;
    while (!used[j]) j = (j + 1) % n;
    return j;
  };
  const out: number[] = [];
  const done = new Uint8Array(n);
  const queue: [number, number, number][] = [];
  for (let i = 0; i < triangles.length; i += 3)
    queue.push([triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]);
  for (let q = 0; q < queue.length; q++) {
    const t = queue[q]!;
    let split = false;
    for (let k = 0; k < 3 && !split; k++)
      for (const [from, to] of [
        [t[k]!, t[(k + 1) % 3]!],
        [t[(k + 1) % 3]!, t[k]!],
      ] as const) {
        const gap = (from + 1) % n;
        if (used[gap] || done[gap] || next(from) !== to) continue;
        const apex = t[(k + 2) % 3]!;
        const forward = from === t[k];
        const chain = [from];
        for (let j = gap; j !== to; j = (j + 1) % n) {
          done[j] = 1;
          chain.push(j);
        }
        chain.push(to);
        for (let c = 0; c + 1 < chain.length; c++)
          queue.push(forward ? [chain[c]!, chain[c + 1]!, apex] : [chain[c + 1]!, chain[c]!, apex]);
        split = true;
        break;
      }
    if (!split) out.push(...t);
  }
  return out;
}
