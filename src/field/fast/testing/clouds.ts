import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { PointCloud } from '../../operator.js';

/** Made-up clouds for tests and timed runs: what nodes of real set-ups look like, and worse. Lengths in metres. */
export type Random = () => number;

/** Seeded numbers in [0, 1). */
export function seeded(seed: number): Random {
  const generator = xoroshiro128plus(seed);
  return () => uniformFloat64(generator);
}

type Place = readonly [x: number, y: number, z: number, nx: number, ny: number, nz: number, area: number];

/** A cloud with the area each point stands for [m2]; charges of a solution are a density times that. */
export interface WeightedCloud extends PointCloud {
  weight: Float64Array;
}

export function cloudOf(places: readonly Place[], mirrorHeight?: number): WeightedCloud {
  const position = new Float64Array(3 * places.length);
  const normal = new Float64Array(3 * places.length);
  places.forEach((p, i) => {
    position.set(p.slice(0, 3), 3 * i);
    normal.set(p.slice(3, 6), 3 * i);
  });
  return {
    count: places.length,
    position,
    normal,
    weight: Float64Array.from(places, (p) => p[6]),
    bodyStart: Int32Array.of(0, places.length),
    ...(mirrorHeight !== undefined && { mirrorHeight }),
  };
}

const repeated = (n: number, make: (i: number) => Place): Place[] =>
  Array.from({ length: n }, (_, i) => make(i));

/** Spread evenly over a sphere (a spiral of equal steps in height), so that no two points are much closer than others. */
export const sphere = (n: number, radius: number, height = 0): Place[] =>
  repeated(n, (i) => {
    const z = 1 - (2 * i + 1) / n;
    const f = i * Math.PI * (3 - Math.sqrt(5));
    const s = Math.sqrt(1 - z * z);
    const [x, y] = [s * Math.cos(f), s * Math.sin(f)];
    return [radius * x, radius * y, height + radius * z, x, y, z, (4 * Math.PI * radius ** 2) / n];
  });

/** Anywhere in a ball, normals in any direction. */
export const ball = (n: number, radius: number, random: Random): Place[] =>
  repeated(n, () => {
    const r = radius * Math.cbrt(random());
    return [
      ...direction(random).map((v) => r * v),
      ...direction(random),
      radius ** 2 / n,
    ] as unknown as Place;
  });

/** Around a wire along z. */
export const wire = (n: number, radius: number, from: number, to: number): Place[] =>
  repeated(n, (i) => {
    const f = i * Math.PI * (3 - Math.sqrt(5));
    const [x, y] = [Math.cos(f), Math.sin(f)];
    const area = (2 * Math.PI * radius * (to - from)) / n;
    return [radius * x, radius * y, from + ((to - from) * (i + 0.5)) / n, x, y, 0, area];
  });

/** On a square, crowding toward one corner: distances from it go down to 1e-5 of the side. */
export const gradedSquare = (n: number, side: number, z: number): Place[] => {
  const per = Math.ceil(Math.sqrt(n));
  const at = (k: number): number => side * ((k + 0.5) / per) ** 4;
  const step = (k: number): number => ((4 * side) / per) * ((k + 0.5) / per) ** 3;
  return repeated(n, (i) => {
    const j = Math.floor(i / per);
    return [at(i % per), at(j), z, 0, 0, 1, step(i % per) * step(j)];
  });
};

/** A small set-up: ball of a part, wire up to the liquid, square of a shield with a fine corner, round wall. */
export function setUp(n: number): Place[] {
  const quarter = Math.round(n / 4);
  return [
    ...sphere(quarter, 0.008, 0.04),
    ...wire(quarter, 0.0002, 0.048, 0.08),
    ...gradedSquare(quarter, 0.02, 0.025),
    ...wire(quarter, 0.04, 0, 0.08),
  ];
}

function direction(random: Random): [number, number, number] {
  const z = 2 * random() - 1;
  const f = 2 * Math.PI * random();
  const s = Math.sqrt(1 - z * z);
  return [s * Math.cos(f), s * Math.sin(f), z];
}
