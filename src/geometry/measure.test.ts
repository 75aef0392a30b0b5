import { describe, expect, test } from 'vitest';
import { ball, box, joined } from '../../test/fixtures/meshes.js';
import { measure, measureBelow } from './measure.js';

describe('measure', () => {
  test('a box is its sides, wherever it stands', () => {
    for (const shift of [
      [0, 0, 0],
      [1e5, -2e5, 3e5],
    ]) {
      const { area, volume, bounds } = measure(box(0.5, 0.25, 2, shift));
      expect(area).toBeCloseTo(2 * (0.125 + 1 + 0.5), 9);
      expect(volume).toBeCloseTo(0.25, 9);
      expect(bounds.max[2] - bounds.min[2]).toBe(2);
    }
  });

  test('facets of a ball approach 4 pi r^2 and 4/3 pi r^3 with the square of their size (closed form)', () => {
    const errors = [16, 32, 64].map((rings) => {
      const { area, volume } = measure(ball(0.01, rings));
      return [1 - area / (4 * Math.PI * 1e-4), 1 - volume / ((4 / 3) * Math.PI * 1e-6)] as const;
    });
    for (const k of [0, 1] as const)
      for (const i of [0, 1]) expect(Math.log2(errors[i]![k]! / errors[i + 1]![k]!)).toBeCloseTo(2, 1);
    expect(errors[2]![0]).toBeLessThan(2e-3);
  });

  test('unused points do not count for the bounds', () => {
    const mesh = box(1, 1, 1);
    const more = { ...mesh, vertices: Float64Array.from([...mesh.vertices, 99, 99, 99]) };
    expect(measure(more).bounds.max).toEqual([1, 1, 1]);
  });
});

describe('measureBelow', () => {
  test('a box in a liquid: walls and floor to the level, not the cut', () => {
    const below = measureBelow(box(2, 3, 4, [5, 5, -1]), 0.5);
    expect(below.area).toBeCloseTo(6 + 2 * 1.5 * 5, 12);
    expect(below.volume).toBeCloseTo(9, 12);
    expect(measureBelow(box(2, 3, 4), -1)).toEqual({ area: 0, volume: expect.closeTo(0, 12) });
    expect(measureBelow(box(2, 3, 4), 9).volume).toBeCloseTo(24, 12);
    expect(measureBelow(box(2, 3, 4), 4).area).toBeCloseTo(52, 12);
  });

  test('a ball cut at height h: cap area 2 pi r h, cap volume pi h^2 (3 r - h) / 3 (closed form)', () => {
    const [r, h] = [1, 0.7];
    const below = measureBelow(ball(r, 96), h - r);
    expect(below.area / (2 * Math.PI * r * h)).toBeCloseTo(1, 3);
    expect(below.volume / ((Math.PI * h * h * (3 * r - h)) / 3)).toBeCloseTo(1, 2);
  });

  test('above and below add up, with several bodies', () => {
    const mesh = joined(ball(1, 12), box(1, 1, 1, [3, 0, 0.2]));
    const turned = { ...mesh, vertices: mesh.vertices.map((x, i) => (i % 3 === 2 ? -x : x)) };
    const whole = measure(mesh);
    const [below, above] = [measureBelow(mesh, 0.31), measureBelow(turned, -0.31)];
    expect(below.area + above.area).toBeCloseTo(whole.area, 10);
    expect(below.volume - above.volume).toBeCloseTo(whole.volume, 10);
  });
});
