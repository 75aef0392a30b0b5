import { triangulatePolygon } from '../import/polygon.js';

/** Rims longer than this are cut as flat outlines; the cost of the least area grows with the cube of the rim. */
const LONGEST_RIM = 150;

/**
 * Triangles that close a rim in space with the least area: the best for a slit that follows a curved surface, where an
 * outline cut flat would jump across the bend. Dynamic programming over the rim after Barequet and Sharir, Computer Aided
 * Geometric Design 12 (1995) 207 (citation from memory).
 * @param rim vertex numbers around the hole
 * @returns three vertex numbers a triangle, wound as the rim
 */
export function patchRim(rim: ArrayLike<number>, vertices: ArrayLike<number>): number[] {
  const n = rim.length;
  if (n <= 3 || n > LONGEST_RIM) return triangulatePolygon(rim, vertices);
  /** Least area that closes the stretch from corner i to corner k, and the corner between that does it. */
  const least = new Float64Array(n * n);
  const middle = new Int32Array(n * n);
  for (let span = 2; span < n; span++)
    for (let i = 0; i + span < n; i++) {
      const k = i + span;
      let best = Infinity;
      for (let j = i + 1; j < k; j++) {
        const area =
          least[i * n + j]! + least[j * n + k]! + triangleArea(rim[i]!, rim[j]!, rim[k]!, vertices);
        if (area < best) {
          best = area;
          middle[i * n + k] = j;
        }
      }
      least[i * n + k] = best;
    }
  const out: number[] = [];
  const stack: [number, number][] = [[0, n - 1]];
  while (stack.length) {
    const [i, k] = stack.pop()!;
    if (k - i < 2) continue;
    const j = middle[i * n + k]!;
    out.push(rim[i]!, rim[j]!, rim[k]!);
    stack.push([i, j], [j, k]);
  }
  return out;
}

function triangleArea(a: number, b: number, c: number, v: ArrayLike<number>): number {
  const ux = v[3 * b]! - v[3 * a]!;
  const uy = v[3 * b + 1]! - v[3 * a + 1]!;
  const uz = v[3 * b + 2]! - v[3 * a + 2]!;
  const wx = v[3 * c]! - v[3 * a]!;
  const wy = v[3 * c + 1]! - v[3 * a + 1]!;
  const wz = v[3 * c + 2]! - v[3 * a + 2]!;
  const x = uy * wz - uz * wy;
  const y = uz * wx - ux * wz;
  const z = ux * wy - uy * wx;
  return 0.5 * Math.sqrt(x * x + y * y + z * z);
}
