import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { type PointCloud, plainOperator } from '../operator.js';
import { sharedCrew, soloCrew } from './crew.js';
import { fastOperator } from './operator.js';
import {
  ball,
  cloudOf,
  gradedSquare,
  type Random,
  seeded,
  setUp,
  sphere,
  type WeightedCloud,
  wire,
} from './testing/clouds.js';

const SEED = 20240611;

/** A density times the area of each point: smooth as solutions are, or of random sign from point to point. */
function densities(cloud: WeightedCloud, random?: Random): { q: Float64Array; d: Float64Array } {
  const value = (i: number, f: number): number =>
    random
      ? 2 * random() - 1
      : 1 + 0.5 * Math.sin(f * cloud.position[3 * i] + 40 * cloud.position[3 * i + 2]);
  return {
    q: cloud.weight.map((w, i) => 100 * w * value(i, 100)),
    d: cloud.weight.map((w, i) => w * value(i, 60)),
  };
}

/**
 * Error at every 20th point: root mean square over that of the sums of magnitudes |q| / r + |d| / r^2, and the largest
 * of the two by point. (Not |d cos| / r^2: on a plane that vanishes, which no expansion can know.)
 */
function errors(
  cloud: PointCloud,
  q: Float64Array,
  d: Float64Array,
  got: Float64Array,
  points?: Float64Array,
) {
  const { position: y, normal: n, mirrorHeight } = cloud;
  const at = points ?? y;
  let e2 = 0;
  let s2 = 0;
  let worst = 0;
  for (let i = 0; i < got.length; i += 20) {
    let sum = 0;
    let size = 0;
    for (const image of mirrorHeight === undefined ? [false] : [false, true])
      for (let j = 0; j < cloud.count; j++) {
        if (!points && !image && i === j) continue;
        const dx = at[3 * i] - y[3 * j];
        const dy = at[3 * i + 1] - y[3 * j + 1];
        const dz = (image ? 2 * mirrorHeight! - at[3 * i + 2] : at[3 * i + 2]) - y[3 * j + 2];
        const r = Math.sqrt(dx * dx + dy * dy + dz * dz);
        const along = n[3 * j] * dx + n[3 * j + 1] * dy + n[3 * j + 2] * dz;
        sum += q[j] / r + (d[j] * along) / r ** 3;
        size += Math.abs(q[j]) / r + Math.abs(d[j]) / r ** 2;
      }
    const e = Math.abs(got[i] - sum / (4 * Math.PI));
    const whole = size / (4 * Math.PI);
    e2 += e * e;
    s2 += whole * whole;
    if (!(e <= worst * whole)) worst = e / whole;
  }
  return { rms: Math.sqrt(e2 / s2), worst };
}

const clouds: [string, () => WeightedCloud][] = [
  ['sphere', () => cloudOf(sphere(3000, 0.02))],
  ['ball', () => cloudOf(ball(3000, 0.02, seeded(SEED)))],
  ['wire far longer than thick', () => cloudOf(wire(3000, 0.0001, 0, 0.06))],
  ['square crowding into a corner', () => cloudOf(gradedSquare(2500, 0.02, 0))],
  ['set-up', () => cloudOf(setUp(3000))],
  ['set-up under a mirror', () => cloudOf(setUp(3000), 0.0801)],
  [
    'two clusters a thousand times smaller than their distance',
    () => cloudOf([...sphere(1500, 2e-5), ...sphere(1500, 2e-5, 0.04), ...sphere(200, 0.02)]),
  ],
];

describe(`fast sums against direct summation (seed ${SEED})`, () => {
  for (const [name, make] of clouds)
    for (const tolerance of [1e-3, 1e-4, 1e-5, 1e-6])
      it(`${name}, tolerance ${tolerance}`, () => {
        const cloud = make();
        const operator = fastOperator()(cloud, { tolerance });
        const got = new Float64Array(cloud.count);
        for (const random of [undefined, seeded(SEED)]) {
          const { q, d } = densities(cloud, random);
          operator.apply(q, d, got);
          const { rms, worst } = errors(cloud, q, d, got);
          expect(rms).toBeLessThan(tolerance);
          expect(worst).toBeLessThan(10 * tolerance);
        }
        operator.release!();
      });

  it('gets better with every order (so that no other error hides behind the tolerance)', () => {
    const cloud = cloudOf(setUp(4000), 0.0801);
    const { q, d } = densities(cloud);
    const got = new Float64Array(cloud.count);
    let last = 1;
    for (const order of [2, 4, 6, 8]) {
      const operator = fastOperator(undefined, { order, capacity: 30 })(cloud);
      operator.apply(q, d, got);
      const { rms } = errors(cloud, q, d, got);
      expect(rms).toBeLessThan(last / 3);
      last = rms;
    }
  });
});

it('stays in sight of the tolerance for equal charges crowded into a corner', () => {
  const cloud = cloudOf(gradedSquare(2500, 0.02, 0));
  const q = new Float64Array(2500).fill(1e-4);
  const d = new Float64Array(2500).fill(1e-6);
  const got = new Float64Array(2500);
  for (const tolerance of [1e-4, 1e-5, 1e-6]) {
    fastOperator()(cloud, { tolerance }).apply(q, d, got);
    expect(errors(cloud, q, d, got).worst).toBeLessThan(30 * tolerance);
  }
});

/** Outside check, closed forms of potential theory: a charged sphere, and Gauss's solid angle of a closed double layer. */
it('finds the potential of a charged sphere and the solid angle of a closed surface', () => {
  const cloud = cloudOf(sphere(20000, 0.02));
  const points = Float64Array.of(0, 0, 0, 0.008, -0.005, 0.003, 0.03, 0.01, -0.02, 0, 0.1, 0.05);
  const got = new Float64Array(4);
  const slope = new Float64Array(12);
  const operator = fastOperator(undefined, { tolerance: 1e-6, direct: 0 })(cloud);
  operator.evaluate(points, cloud.weight, null, got, slope);
  const charge = 4 * Math.PI * 0.02 ** 2;
  for (let i = 0; i < 4; i++) {
    const r = Math.hypot(...points.subarray(3 * i, 3 * i + 3));
    expect(got[i] / (charge / (4 * Math.PI * Math.max(r, 0.02)))).toBeCloseTo(1, 4);
    for (let c = 0; c < 3; c++) {
      const exact = r < 0.02 ? 0 : (-charge * points[3 * i + c]) / (4 * Math.PI * r ** 3);
      expect(slope[3 * i + c]).toBeCloseTo(exact, 3);
    }
  }
  operator.evaluate(points, new Float64Array(cloud.count), cloud.weight, got);
  for (let i = 0; i < 4; i++) expect(got[i]).toBeCloseTo(i < 2 ? -1 : 0, 4);
});

describe('fast operator', () => {
  it('sums charges alone when there are no dipoles', () => {
    const cloud = cloudOf(setUp(3000));
    const { q } = densities(cloud);
    const none = new Float64Array(cloud.count);
    const operator = fastOperator(undefined, { tolerance: 1e-6 })(cloud);
    const [a, b] = [new Float64Array(cloud.count), new Float64Array(cloud.count)];
    operator.apply(q, null, a);
    operator.apply(q, none, b);
    expect(a).toEqual(b);
    expect(errors(cloud, q, none, a).rms).toBeLessThan(1e-6);
  });

  it('is exact enough for single points, pairs and clouds of one box', () => {
    for (const n of [1, 2, 3, 5, 40]) {
      const cloud = cloudOf(sphere(n, 0.01));
      const { q, d } = densities(cloud);
      const got = new Float64Array(n).fill(NaN);
      fastOperator(undefined, { tolerance: 1e-6 })(cloud).apply(q, d, got);
      const exact = new Float64Array(n);
      plainOperator(cloud).apply(q, d, exact);
      got.forEach((v, i) => {
        expect(Math.abs(v - exact[i])).toBeLessThanOrEqual(1e-6 * Math.abs(exact[i]));
      });
    }
  });

  it('takes an empty cloud and zero densities', () => {
    fastOperator(undefined, { tolerance: 1e-6 })(cloudOf([])).apply(
      new Float64Array(0),
      new Float64Array(0),
      new Float64Array(0),
    );
    const cloud = cloudOf(sphere(2000, 0.01));
    const got = new Float64Array(2000).fill(NaN);
    fastOperator(undefined, { tolerance: 1e-6 })(cloud).apply(new Float64Array(2000), null, got);
    expect(got.every((v) => v === 0)).toBe(true);
  });

  it('leaves out points that coincide, however many', () => {
    const twice = cloudOf([...sphere(1500, 0.01), ...sphere(1500, 0.01)]);
    const once = cloudOf(sphere(1500, 0.01));
    const q = new Float64Array(3000).fill(1e-6);
    const got = new Float64Array(3000);
    fastOperator(undefined, { tolerance: 1e-6 })(twice).apply(q, null, got);
    const single = new Float64Array(1500);
    plainOperator(once).apply(q, null, single);
    for (let i = 0; i < 3000; i++) expect(got[i] / (2 * single[i % 1500])).toBeCloseTo(1, 5);
    const heap = cloudOf(Array.from({ length: 2500 }, () => [0.001, 0.002, 0.003, 0, 0, 1, 1] as const));
    const sum = new Float64Array(2500).fill(NaN);
    fastOperator(undefined, { tolerance: 1e-6 })(heap).apply(new Float64Array(2500).fill(1), null, sum);
    expect(sum.every((v) => v === 0)).toBe(true);
  });

  it('keeps its accuracy for tiny and huge charges', () => {
    const cloud = cloudOf(setUp(3000));
    const { q, d } = densities(cloud);
    const [one, other] = [new Float64Array(cloud.count), new Float64Array(cloud.count)];
    const operator = fastOperator(undefined, { tolerance: 1e-6 })(cloud);
    operator.apply(q, d, one);
    for (const factor of [2 ** -150, 2 ** 150]) {
      operator.apply(
        q.map((v) => v * factor),
        d.map((v) => v * factor),
        other,
      );
      for (let i = 0; i < cloud.count; i++) expect(other[i]).toBe(one[i] * factor);
    }
  });

  it('gives potentials and gradients at other points', () => {
    for (const mirror of [undefined, 0.0801]) {
      const cloud = cloudOf(setUp(3000), mirror);
      const { q, d } = densities(cloud);
      const random = seeded(SEED);
      const points = Float64Array.from(
        { length: 3 * 1500 },
        (_, i) => (i % 3 === 2 ? 0.08 : 0.03) * random(),
      );
      const [u, g] = [new Float64Array(1500), new Float64Array(4500)];
      const [exact, slope] = [new Float64Array(1500), new Float64Array(4500)];
      const operator = fastOperator(undefined, { tolerance: 1e-6 })(cloud);
      operator.evaluate(points, q, d, u, g);
      plainOperator(cloud).evaluate(points, q, d, exact, slope);
      expect(errors(cloud, q, d, u, points).rms).toBeLessThan(1e-6);
      const norm = Math.hypot(...slope);
      expect(Math.hypot(...g.map((v, i) => v - slope[i]))).toBeLessThan(3e-5 * norm);
      const alone = new Float64Array(1500);
      operator.evaluate(points, q, d, alone);
      expect(errors(cloud, q, d, alone, points).rms).toBeLessThan(1e-6);
    }
  });

  it('follows a body that moves', () => {
    const before = cloudOf([...sphere(1500, 0.01), ...sphere(1500, 0.005, 0.03)]);
    const after = cloudOf([...sphere(1500, 0.01), ...sphere(1000, 0.005, 0.04)]);
    const { q, d } = densities(after);
    const got = new Float64Array(after.count);
    fastOperator(undefined, { tolerance: 1e-6 })(before).rebuilt!(after, [1]).apply(q, d, got);
    expect(errors(after, q, d, got).rms).toBeLessThan(1e-6);
  });

  it('gives its memory back', () => {
    const crew = soloCrew();
    const cloud = cloudOf(sphere(3000, 0.01));
    const maker = fastOperator(crew, { capacity: 40 });
    maker(cloud).release!();
    const used = crew.arena.used;
    for (let i = 0; i < 5; i++) {
      const operator = maker(cloud);
      operator.evaluate(
        cloud.position.slice(0, 300),
        new Float64Array(3000).fill(1),
        null,
        new Float64Array(100),
      );
      operator.release!();
      operator.release!();
    }
    expect(crew.arena.used).toBe(used);
  });

  it('gives memory back of an operator that was dropped', async () => {
    setFlagsFromString('--expose-gc');
    const gc = runInNewContext('gc') as () => void;
    const crew = soloCrew();
    const empty = crew.arena.used;
    (() => fastOperator(crew, { direct: 1e9 })(cloudOf(sphere(3000, 0.01))))();
    expect(crew.arena.used).toBeGreaterThan(empty);
    for (let i = 0; i < 20 && crew.arena.used > empty; i++) {
      await new Promise((resolve) => setTimeout(resolve, 10));
      gc();
    }
    expect(crew.arena.used).toBe(empty);
  });

  it('lets a number that is none show', () => {
    for (const wrong of [Number.NaN, Number.POSITIVE_INFINITY]) {
      const got = new Float64Array(500);
      const q = new Float64Array(500);
      q[3] = wrong;
      fastOperator()(cloudOf(sphere(500, 0.01))).apply(q, null, got);
      expect(got.some((v) => !Number.isFinite(v))).toBe(true);
    }
  });

  it('gives the same numbers with a crew whose threads never came', () => {
    const cloud = cloudOf(setUp(4000));
    const { q, d } = densities(cloud, seeded(SEED));
    const [alone, shared] = [new Float64Array(cloud.count), new Float64Array(cloud.count)];
    fastOperator(soloCrew())(cloud).apply(q, d, alone);
    fastOperator(sharedCrew(3))(cloud).apply(q, d, shared);
    expect(shared).toEqual(alone);
  });
});
