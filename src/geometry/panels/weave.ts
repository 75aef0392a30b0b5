import type { Vec3 } from '../shapes/vector.js';
import type { SkinMaker } from './skin.js';

/**
 * A piece of surface given by a map of (u, v), cut into rows of constant v. Each row has its own points, so that a row
 * may be fine where something is near; neighbouring rows are woven into triangles.
 */
export interface Strip {
  /** Surface point [m]. With u to the right and v up, the outside faces the reader. */
  point(u: number, v: number): Vec3;
  /** v of each row, ascending. */
  rows: number[];
  /** u of the points of each row, ascending. One point: the row is a pole. Closed strips leave the repeated end out. */
  cuts: number[][];
  /** Period of u where the strip closes on itself, else 0. */
  period: number;
  /** Face of the triangles between row i and i + 1. */
  face(i: number): number;
}

/** Weaves rows into panels with mid-side nodes on the surface. */
export function weave(strip: Strip, into: SkinMaker): void {
  const { point, rows, cuts, period } = strip;
  for (let i = 0; i + 1 < rows.length; i++) {
    const low = closed(cuts[i]!, period);
    const high = closed(cuts[i + 1]!, period);
    const at = (u: number, v: number): Vec3 => point(u, v);
    const [v0, v1] = [rows[i]!, rows[i + 1]!];
    const vm = (v0 + v1) / 2;
    const poleLow = low.length === 1;
    const poleHigh = high.length === 1;
    let a = 0;
    let b = 0;
    while (a + 1 < low.length || b + 1 < high.length) {
      const [ua, ub] = [low[a]!, high[b]!];
      if (stepsLow(low, high, a, b, i)) {
        const next = low[a + 1]!;
        const ubLow = poleHigh ? ua : ub;
        const ubNext = poleHigh ? next : ub;
        into.panel(
          strip.face(i),
          at(ua, v0),
          at(next, v0),
          at(ub, v1),
          at((ua + next) / 2, v0),
          at((next + ubNext) / 2, vm),
          at((ubLow + ua) / 2, vm),
        );
        a++;
      } else {
        const next = high[b + 1]!;
        const uaHigh = poleLow ? ub : ua;
        const uaNext = poleLow ? next : ua;
        into.panel(
          strip.face(i),
          at(ua, v0),
          at(next, v1),
          at(ub, v1),
          at((uaNext + next) / 2, vm),
          at((ub + next) / 2, v1),
          at((ub + uaHigh) / 2, vm),
        );
        b++;
      }
    }
  }
}

/** Whether the next triangle takes its base from the lower row: the one whose base lies further back goes first. */
function stepsLow(low: number[], high: number[], a: number, b: number, row: number): boolean {
  if (b + 1 >= high.length) return true;
  if (a + 1 >= low.length) return false;
  const middleLow = low[a]! + low[a + 1]!;
  const middleHigh = high[b]! + high[b + 1]!;
  const tie = 1e-9 * (Math.abs(low[a + 1]! - low[a]!) + Math.abs(high[b + 1]! - high[b]!));
  // Equal rows make rectangles; their diagonals alternate so that no direction is preferred.
  if (Math.abs(middleLow - middleHigh) <= tie) return (a + row) % 2 === 0 ? a <= b : a < b;
  return middleLow < middleHigh;
}

const closed = (cuts: number[], period: number): number[] =>
  period > 0 && cuts.length > 1 ? [...cuts, cuts[0]! + period] : cuts;

/** Points of a ring of length one turn, cut evenly into `count`. */
export const even = (count: number, turn = 2 * Math.PI): number[] =>
  Array.from({ length: count }, (_, k) => (k / count) * turn);

/**
 * Points around a closed row for a size that varies along it: equal shares of the integral of du / size.
 * `size(u)` is in units of u. Fewer than `fewest` points are never made.
 */
export function around(size: (u: number) => number, fewest: number, turn = 2 * Math.PI): number[] {
  const steps = 96;
  const total = new Float64Array(steps + 1);
  for (let i = 0; i < steps; i++) total[i + 1] = total[i]! + turn / steps / size(((i + 0.5) / steps) * turn);
  const wanted = Math.max(fewest, Math.ceil(total[steps]! - 0.2));
  const even = wanted + (wanted % 2);
  const cuts: number[] = [];
  for (let j = 0, i = 0; j < even; j++) {
    const goal = (j / even) * total[steps]!;
    while (i < steps - 1 && total[i + 1]! < goal) i++;
    cuts.push(((i + (goal - total[i]!) / (total[i + 1]! - total[i]!)) / steps) * turn);
  }
  return cuts;
}
