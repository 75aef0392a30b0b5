import { describe, expect, it } from 'vitest';
import { solidOf } from '../../shapes/make.js';
import type { Shape } from '../../shapes/shape.js';
import { panelAreas, volumeBelow } from '../measure.js';
import { facets } from '../skin.js';
import { openSides } from '../testing/watertight.js';
import { curvature } from './sizes.js';
import { meshSolid } from './solid.js';
import { TriangleTree } from './tree.js';

const sum = (a: Float64Array): number => a.reduce((x, y) => x + y, 0);

describe('parts from files', () => {
  // The facets lie inside the true body by up to 20 um; reading them as smooth must win most of that back.
  it.each([
    [{ kind: 'sphere', diameter: 0.02 }],
    [{ kind: 'torus', ringDiameter: 0.03, sectionDiameter: 0.008 }],
    [{ kind: 'rod', diameter: 0.008, length: 0.03 }],
    [{ kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.0004 }],
  ] as [Shape][])('$kind: closed panels with the area and volume of the round body', (shape) => {
    const exact = solidOf(shape);
    const flat = facets(exact.tessellate(2e-5));
    const solid = meshSolid(flat);
    const skin = solid.panels({ quality: 'standard' });
    expect(openSides(skin)).toBe(0);
    expect(Math.abs(sum(panelAreas(skin)) / exact.area - 1)).toBeLessThan(2.5e-3);
    expect(Math.abs(volumeBelow(skin, 0) / exact.volume - 1)).toBeLessThan(2.5e-3);
    expect(Math.abs(volumeBelow(skin, 0) / exact.volume - 1)).toBeLessThan(
      Math.abs(solid.volume / exact.volume - 1),
    );
  });

  it('keeps the edges of a box and its exact volume', () => {
    const skin = meshSolid(facets(solidOf({ kind: 'box', x: 0.01, y: 0.02, z: 0.005 }).tessellate(1))).panels(
      {
        quality: 'standard',
      },
    );
    expect(openSides(skin)).toBe(0);
    expect(volumeBelow(skin, 0)).toBeCloseTo(1e-6, 15);
    expect(new Set(skin.face).size).toBe(6);
    expect(skin.face.length).toBeGreaterThan(100);
    expect(skin.face.length).toBeLessThan(4000);
  });

  it('tells inside from outside at faces, edges and corners', () => {
    const exact = solidOf({ kind: 'box', x: 0.01, y: 0.02, z: 0.005 });
    const solid = meshSolid(facets(exact.tessellate(1)));
    let seed = 7;
    const random = (): number => {
      seed = (seed * 1664525 + 1013904223) % 2 ** 32;
      return seed / 2 ** 32 - 0.5;
    };
    for (let i = 0; i < 500; i++) {
      const p = [0.02 * random(), 0.04 * random(), 0.01 * random()] as const;
      expect(solid.distance(p)).toBeCloseTo(exact.distance(p), 10);
    }
  });

  it('finds the nearest triangle as a plain search does', () => {
    const flat = facets(
      solidOf({ kind: 'torus', ringDiameter: 0.03, sectionDiameter: 0.008 }).tessellate(4e-4),
    );
    const tree = new TriangleTree(flat.vertices, flat.triangles);
    for (let i = 0; i < 20; i++) {
      const p = [0.03 * Math.sin(i), 0.03 * Math.cos(2 * i), 0.01 * Math.sin(3 * i)] as const;
      let least = Infinity;
      for (let t = 0; t < flat.triangles.length / 3; t++)
        least = Math.min(least, new TriangleTree(flat.vertices, flat.triangles, [t]).nearest(p)!.square);
      expect(tree.nearest(p)!.square).toBeCloseTo(least, 18);
    }
  });

  it('reads the curvatures of a cylinder off one facet', () => {
    const on = (angle: number, z: number) => [Math.cos(angle) * 0.005, Math.sin(angle) * 0.005, z] as const;
    const out = (angle: number) => [Math.cos(angle), Math.sin(angle), 0] as const;
    const { most, least, direction } = curvature(
      [on(0, 0), on(0.1, 0.001), on(0.02, 0.004)],
      [out(0), out(0.1), out(0.02)],
    );
    expect(most).toBeCloseTo(200, 0);
    expect(least).toBeLessThan(1);
    expect(Math.abs(direction[2])).toBeLessThan(0.01);
  });
});
