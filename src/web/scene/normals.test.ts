import { describe, expect, it } from 'vitest';
import { box } from '../../../test/fixtures/forecast.js';
import { creasedNormals } from './normals.js';

describe('normals for shading', () => {
  it('are those of the faces on a small box, whatever its size', () => {
    for (const size of [1, 1e-3]) {
      const { positions, triangles } = box('b', 'anode', [0, 0, 0], [size, size, size]);
      const normals = creasedNormals(positions, triangles, 0.6);
      for (let c = 0; c < triangles.length; c++) {
        const n = [0, 1, 2].map((k) => Math.abs(normals[3 * c + k]!));
        expect(Math.max(...n)).toBeCloseTo(1, 6);
        expect(n[0]! + n[1]! + n[2]!).toBeCloseTo(1, 6);
      }
    }
  });
  it('turn evenly around a tube and break at its rims', () => {
    const around = 24;
    const positions: number[] = [];
    const triangles: number[] = [];
    for (let j = 0; j < around; j++) {
      const a = (2 * Math.PI * j) / around;
      for (const z of [0, 1]) positions.push(Math.cos(a) * 1e-3, Math.sin(a) * 1e-3, z * 1e-3);
      const [p, q] = [2 * j, 2 * ((j + 1) % around)];
      triangles.push(p, q, q + 1, p, q + 1, p + 1);
    }
    positions.push(0, 0, 1e-3);
    for (let j = 0; j < around; j++) triangles.push(2 * j + 1, 2 * ((j + 1) % around) + 1, 2 * around);
    const normals = creasedNormals(positions, triangles, 0.6);
    for (let c = 0; c < triangles.length; c++) {
      const v = triangles[c]!;
      const [x, y, z] = [...normals.subarray(3 * c, 3 * c + 3)] as [number, number, number];
      if (c >= 6 * around) expect(z).toBeCloseTo(1, 6);
      else {
        expect(z).toBeCloseTo(0, 6);
        // Outward along the radius at the vertex, up to the half step the two triangulated sides differ by.
        expect((x * positions[3 * v]! + y * positions[3 * v + 1]!) / 1e-3).toBeGreaterThan(
          Math.cos(Math.PI / around),
        );
      }
    }
  });
});
