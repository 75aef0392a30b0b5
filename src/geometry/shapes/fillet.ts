import { arc, line, type Segment } from './segment.js';
import type { Vec2 } from './vector.js';

/**
 * A chain of straight lines through corners, each corner rounded by its radius (0 leaves it sharp). Returns undefined
 * where two roundings need more length than the line between them has.
 */
export function filleted(
  corners: Vec2[],
  radius: (i: number) => number,
  closed: boolean,
): Segment[] | undefined {
  const n = corners.length;
  const cut = corners.map((c, i) => {
    if (!closed && (i === 0 || i === n - 1)) return 0;
    const turn = turnAt(corners[(i + n - 1) % n]!, c, corners[(i + 1) % n]!);
    return radius(i) * Math.tan(Math.abs(turn) / 2);
  });
  const segments: Segment[] = [];
  for (let i = 0; i < (closed ? n : n - 1); i++) {
    const [a, b, c] = [corners[i]!, corners[(i + 1) % n]!, corners[(i + 2) % n]!];
    const [cutA, cutB] = [cut[i]!, cut[(i + 1) % n]!];
    const l = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (cutA + cutB > l * (1 + 1e-9)) return undefined;
    const d: Vec2 = [(b[0] - a[0]) / l, (b[1] - a[1]) / l];
    const start: Vec2 = [a[0] + cutA * d[0], a[1] + cutA * d[1]];
    const end: Vec2 = [b[0] - cutB * d[0], b[1] - cutB * d[1]];
    if (l - cutA - cutB > 1e-9 * l) segments.push(line(start, end));
    if (cutB > 0) segments.push(bend(end, d, radius((i + 1) % n), turnAt(a, b, c)));
  }
  return segments;
}

function turnAt(a: Vec2, b: Vec2, c: Vec2): number {
  const [ux, uy, vx, vy] = [b[0] - a[0], b[1] - a[1], c[0] - b[0], c[1] - b[1]];
  return Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
}

/** The arc that leaves `start` in direction d and turns by `turn`. */
function bend(start: Vec2, d: Vec2, radius: number, turn: number): Segment {
  const left = Math.sign(turn);
  const centre: Vec2 = [start[0] - left * radius * d[1], start[1] + left * radius * d[0]];
  const from = Math.atan2(start[1] - centre[1], start[0] - centre[0]);
  return arc(centre, radius, from, from + turn);
}
