import fc from 'fast-check';
import { expect, test } from 'vitest';
import { newell, triangulatePolygon } from './polygon.js';

/** Sum of the areas of the triangles: equals the outline's own area only if none overlap or stick out. */
function areas(corners: number[], vertices: number[]): number {
  const cut = triangulatePolygon(corners, vertices);
  let sum = 0;
  for (let i = 0; i < cut.length; i += 3) sum += Math.hypot(...newell(cut.slice(i, i + 3), vertices)) / 2;
  return sum;
}

const turnedInSpace = ([x, y]: readonly [number, number]): number[] => [
  0.6 * x - 0.8 * y,
  y,
  0.8 * x + 0.6 * y,
];

test('star-shaped outlines anywhere in space keep their area, winding and every edge', () => {
  const outline = fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 4, maxLength: 40 });
  fc.assert(
    fc.property(outline, (radii) => {
      const n = radii.length;
      const flat = radii.map((r, i) => {
        const angle = (2 * Math.PI * i) / n;
        return [r * Math.cos(angle), r * Math.sin(angle)] as const;
      });
      const vertices = flat.flatMap(turnedInSpace);
      const corners = radii.map((_, i) => i);
      const whole = newell(corners, vertices);
      expect(areas(corners, vertices)).toBeCloseTo(Math.hypot(...whole) / 2, 10);
      const cut = triangulatePolygon(corners, vertices);
      expect(cut.length).toBe(3 * (n - 2));
      const edges = new Set(cut.map((a, i) => `${a}>${cut[i % 3 === 2 ? i - 2 : i + 1]}`));
      for (let i = 0; i < n; i++) expect(edges).toContain(`${i}>${(i + 1) % n}`);
    }),
    { numRuns: 300 },
  );
});

test('corners on a straight edge are used, so that the neighbour finds its points', () => {
  // A square whose lower side carries three extra points and whose right side carries one.
  const vertices = [0, 0, 0, 1, 0, 0, 2, 0, 0, 3, 0, 0, 4, 0, 0, 4, 2, 0, 4, 4, 0, 0, 4, 0];
  const corners = [0, 1, 2, 3, 4, 5, 6, 7];
  expect(areas(corners, vertices)).toBeCloseTo(16, 12);
  expect(new Set(triangulatePolygon(corners, vertices))).toEqual(new Set(corners));
});

test('a dart, the smallest concave outline, is cut at its notch', () => {
  const vertices = [0, 0, 0, 2, 1, 0, 0, 2, 0, 0.5, 1, 0];
  expect(areas([0, 1, 2, 3], vertices)).toBeCloseTo(1.5, 12);
  expect(areas([3, 0, 1, 2], vertices)).toBeCloseTo(1.5, 12);
});
