import { describe, expect, it } from 'vitest';
import { plainOperator } from '../operator.js';
import { soloCrew } from './crew.js';
import { fastOperator } from './operator.js';
import { ball, cloudOf, gradedSquare, seeded, sphere, wire } from './testing/clouds.js';

/** Clouds thrown together at random, against the plain sum. A seed that fails is printed by the name of its test. */
const RUNS = 60;
const FIRST_SEED = 1;

describe('fast sums of random clouds', () => {
  const crew = soloCrew();
  for (let seed = FIRST_SEED; seed < FIRST_SEED + RUNS; seed++)
    it(`seed ${seed}`, () => {
      const random = seeded(seed);
      const upTo = (n: number): number => Math.floor(n * random());
      const size = (): number => 10 ** (-1 - 4 * random());
      const places = Array.from({ length: 1 + upTo(5) }, () => {
        const n = 1 + upTo(10 ** (1 + 2 * random()));
        const parts = [
          () => sphere(n, size(), size()),
          () => ball(n, size(), random),
          () => wire(n, size(), -size(), size()),
          () => gradedSquare(n, size(), size()),
        ];
        const [dx, dy, dz] = [size(), size(), size()];
        return parts[upTo(4)]!().map(
          ([x, y, z, nx, ny, nz, a]) => [x + dx, y + dy, z + dz, nx, ny, nz, a] as const,
        );
      }).flat();
      const highest = Math.max(...places.map((p) => p[2]));
      const cloud = cloudOf(places, random() < 0.5 ? highest + 1e-4 : undefined);
      const operator = fastOperator(crew, { order: 9, capacity: 4 + upTo(60), direct: 0 })(cloud);
      const q = cloud.weight.map((w) => w * (2 * random() - 1));
      const d = cloud.weight.map((w) => w * 0.01 * (2 * random() - 1));
      const [got, exact] = [new Float64Array(cloud.count), new Float64Array(cloud.count)];
      operator.apply(q, d, got);
      plainOperator(cloud).apply(q, d, exact);
      // Sums of magnitudes: the same sums with all terms made positive, dipoles as if all pointed along the way.
      const whole = magnitudes(cloud, q, d);
      for (let i = 0; i < cloud.count; i++)
        expect(Math.abs(got[i] - exact[i]), `node ${i} of ${cloud.count}`).toBeLessThanOrEqual(
          2e-4 * whole[i],
        );
      const rms = (v: Float64Array): number => Math.sqrt(v.reduce((sum, x) => sum + x * x, 0) / v.length);
      expect(rms(got.map((v, i) => v - exact[i]))).toBeLessThanOrEqual(1e-5 * rms(whole));
      const points = Float64Array.from({ length: 90 }, () => 0.2 * random() - 0.1);
      const [u, g, v, h] = [30, 90, 30, 90].map((n) => new Float64Array(n)) as [
        Float64Array,
        Float64Array,
        Float64Array,
        Float64Array,
      ];
      operator.evaluate(points, q, d, u, g);
      plainOperator(cloud).evaluate(points, q, d, v, h);
      const apart = Math.hypot(...h.map((x, i) => x - g[i])) / Math.hypot(...h);
      expect(apart).toBeLessThan(2e-3);
      expect(Math.hypot(...v.map((x, i) => x - u[i])) / Math.hypot(...v)).toBeLessThan(2e-3);
      operator.release!();
    });
});

function magnitudes(cloud: ReturnType<typeof cloudOf>, q: Float64Array, d: Float64Array): Float64Array {
  const { count, position: p, mirrorHeight } = cloud;
  return Float64Array.from({ length: count }, (_, i) => {
    let sum = 0;
    for (const image of mirrorHeight === undefined ? [false] : [false, true])
      for (let j = 0; j < count; j++) {
        if (!image && i === j) continue;
        const z = image ? 2 * mirrorHeight! - p[3 * i + 2] : p[3 * i + 2];
        const r = Math.hypot(p[3 * i] - p[3 * j], p[3 * i + 1] - p[3 * j + 1], z - p[3 * j + 2]);
        sum += Math.abs(q[j]) / r + Math.abs(d[j]) / r ** 2;
      }
    return sum / (4 * Math.PI);
  });
}
