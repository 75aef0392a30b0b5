import { isotropic, type Metric } from '../panels/remesh/metric.js';
import { cross, dot, length, scale, subtract, unit, type Vec3 } from '../shapes/vector.js';

/** A structured panel by its corners, and the face it lies on. */
export interface Tile {
  corners: [Vec3, Vec3, Vec3];
  label: number;
  /** Cut freely, not in rows: then its sides are already as long as they may be. */
  free: boolean;
}

/**
 * Near a junction panels keep the stretch of the structured ones they replace, shortened to the junction's size: the
 * metric of the nearest replaced panel, its stretches limited from above by `sizeAt`.
 */
export function structuredMetric(
  tiles: Tile[],
  sizeAt: (p: Vec3, label: number) => number,
): (p: Vec3, labels: number[]) => Metric {
  const byLabel = new Map<number, Grain[]>();
  for (const tile of tiles) byLabel.set(tile.label, [...(byLabel.get(tile.label) ?? []), grainOf(tile)]);
  return (p, labels) => {
    let finest: Grain | undefined;
    let size = Number.POSITIVE_INFINITY;
    for (const label of labels) {
      size = Math.min(size, sizeAt(p, label));
      const near = nearest(byLabel.get(label) ?? [], p);
      // On the border of a rounding the finer of the two sides rules.
      if (near && (!finest || near.short < finest.short)) finest = near;
    }
    return finest ? limited(finest, size) : isotropic(size);
  };
}

function nearest(grains: Grain[], p: Vec3): Grain | undefined {
  let best: Grain | undefined;
  let least = Number.POSITIVE_INFINITY;
  for (const grain of grains) {
    const d = grain.distance(p);
    if (d < least) [best, least] = [grain, d];
  }
  return best;
}

interface Grain {
  across: Vec3;
  along: Vec3;
  normal: Vec3;
  short: number;
  long: number;
  distance(p: Vec3): number;
}

/** Half a rectangle measures 1 along both sides, with its diagonal in bounds, when sizes are a little above them. */
const ROOM = 1.15;
const TIGHT = 0.75;

/** Directions and sizes of a panel: along its shortest side, and across it. */
function grainOf({ corners: [a, b, c], free }: Tile): Grain {
  const room = free ? TIGHT : ROOM;
  const sides: [Vec3, Vec3][] = [
    [a, b],
    [b, c],
    [c, a],
  ];
  sides.sort((x, y) => length(subtract(...x)) - length(subtract(...y)));
  const [p, q] = sides[0]!;
  const across = unit(subtract(q, p));
  const area = cross(subtract(b, a), subtract(c, a));
  const normal = unit(area);
  const short = length(subtract(q, p));
  const along = cross(normal, across);
  const long = length(area) / short;
  const centre = scale([a[0] + b[0] + c[0], a[1] + b[1] + c[1], a[2] + b[2] + c[2]], 1 / 3);
  return {
    across,
    along,
    normal,
    short: short * room,
    long: long * room,
    // Nearness in the panel's own measure; out of its plane counts double.
    distance: (x) => {
      const d = subtract(x, centre);
      return Math.hypot(dot(d, across) / short, dot(d, along) / long, (2 * dot(d, normal)) / short);
    },
  };
}

function limited(g: Grain, size: number): Metric {
  const [s, l] = [1 / Math.min(g.short, size) ** 2, 1 / Math.min(g.long, size) ** 2];
  const m = (i: 0 | 1 | 2, j: 0 | 1 | 2): number =>
    s * g.across[i] * g.across[j] + l * g.along[i] * g.along[j] + s * g.normal[i] * g.normal[j];
  return [m(0, 0), m(0, 1), m(0, 2), m(1, 1), m(1, 2), m(2, 2)];
}
