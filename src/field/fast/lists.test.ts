import { describe, expect, it } from 'vitest';
import { findInteractions } from './lists.js';
import { ball, cloudOf, gradedSquare, seeded, setUp, sphere } from './testing/clouds.js';
import { buildOctree } from './tree.js';

const clouds = {
  sphere: cloudOf(sphere(700, 1)),
  ball: cloudOf(ball(700, 1, seeded(7))),
  square: cloudOf(gradedSquare(700, 1, 0)),
  'set-up': cloudOf(setUp(800)),
  'cluster in a corner': cloudOf([...sphere(400, 1e-4), ...sphere(300, 1, 1)]),
};

describe('the octree', () => {
  for (const [name, { position, count }] of Object.entries(clouds))
    it(`keeps every point once, in its box, in ranges of whole fours (${name})`, () => {
      const tree = buildOctree(position, position.slice(0, 300), 20);
      const { order, start, end, held } = tree.sources;
      expect(Array.from(order.filter((i) => i >= 0)).sort((a, b) => a - b)).toEqual([...Array(count).keys()]);
      for (let b = 0; b < tree.count; b++) {
        expect(start[b] % 4 || end[b] % 4).toBe(0);
        expect(order.subarray(start[b], end[b]).filter((i) => i >= 0)).toHaveLength(held[b]);
        const half = 0.5 * tree.place[4 * b + 3];
        for (let s = start[b]; s < end[b]; s++)
          for (let c = 0; c < 3 && order[s] >= 0; c++)
            expect(Math.abs(position[3 * order[s] + c] - tree.place[4 * b + c])).toBeLessThanOrEqual(
              half * (1 + 1e-12),
            );
      }
    });
});

describe('the lists', () => {
  for (const [name, { position, count }] of Object.entries(clouds))
    for (const far of [true, false])
      it(`hold every pair of target and source exactly once (${name}, ${far ? 'with' : 'without'} far)`, () => {
        const targets = position.slice(0, 3 * Math.floor(count / 2));
        const tree = buildOctree(position, targets, 12);
        const found = findInteractions(tree, { pairs: 30, points: 6, far });
        const n = tree.sources.order.length;
        const seen = new Uint8Array(n * tree.targets.order.length);
        const mark = (a: number, b: number): void => {
          for (let t = tree.targets.start[a]; t < tree.targets.end[a]; t++)
            for (let s = tree.sources.start[b]; s < tree.sources.end[b]; s++) seen[t * n + s]++;
        };
        for (let e = 0; e < found.near.length; e += 2) mark(found.near[e], found.near[e + 1]);
        for (let e = 0; e < found.far.length; e += 2) mark(found.far[e], found.far[e + 1]);
        for (let e = 0; e < found.into.length; e += 2) mark(found.into[e], found.into[e + 1]);
        for (let e = 0; e < found.transfer.length; e += 4) mark(found.transfer[e], found.transfer[e + 1]);
        const wrong = seen.findIndex(
          (times, i) =>
            times !== 1 && tree.targets.order[Math.floor(i / n)] >= 0 && tree.sources.order[i % n] >= 0,
        );
        expect(wrong).toBe(-1);
        if (!far) expect(found.far).toHaveLength(0);
        if (name === 'cluster in a corner' && far) {
          expect(found.far.length).toBeGreaterThan(0);
          expect(found.into.length).toBeGreaterThan(0);
        }
      });
});
