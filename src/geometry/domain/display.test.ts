import { describe, expect, it } from 'vitest';
import { panelPoint } from '../panels/measure.js';
import { turnAbout } from '../shapes/index.js';
import { buildDomain } from './build.js';
import { displayMesh, interpolate, onPanels, sourceTriangles } from './display.js';
import type { BodySpec } from './spec.js';

const ring: BodySpec = {
  name: 'ring',
  role: 'part',
  form: { kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.0004 },
  placement: { position: [0, 0, 0.078], turn: turnAbout([1, 0, 0], Math.PI / 2) },
};

describe('showing panel values on the fine mesh', () => {
  it('carries a quadratic function over exactly but for the facets, and leaves what is dry blank', async () => {
    const outcome = await buildDomain(
      { bodies: [ring], vessel: { kind: 'beaker', diameter: 0.08, height: 0.1 }, liquidHeight: 0.08 },
      { quality: 'standard' },
    );
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    const domain = outcome.value;
    const mesh = displayMesh(domain, 0);
    const places = onPanels(domain, 0, mesh.vertices);
    const f = (x: number, y: number, z: number): number => 3 + 40 * x - 25 * y + 10 * z;
    const { nodes, panels } = domain.surface;
    const atNodes = Float64Array.from(panels, (n) => f(nodes[3 * n]!, nodes[3 * n + 1]!, nodes[3 * n + 2]!));
    const shown = interpolate(places, atNodes);
    let [dry, far, off] = [0, 0, 0];
    for (let i = 0; i < shown.length; i++) {
      const [x, y, z] = [mesh.vertices[3 * i]!, mesh.vertices[3 * i + 1]!, mesh.vertices[3 * i + 2]!];
      if (z > 0.08 + 1e-9) {
        if (Number.isNaN(shown[i])) dry++;
      } else {
        // A quadratic panel stays within some hundredths of a millimetre of the ring; the function changes by 40 per m.
        far = Math.max(far, places.away[i]!);
        off = Math.max(off, Math.abs(shown[i]! - f(x, y, z)));
      }
    }
    expect(far).toBeLessThan(1e-4);
    expect(off).toBeLessThan(5e-3);
    const above = mesh.vertices.filter((z, i) => i % 3 === 2 && z > 0.08 + 1e-9).length;
    expect(dry).toBe(above);
    expect(dry).toBeGreaterThan(100);

    let apart = 0;
    const sources = sourceTriangles(domain, 0, mesh);
    const middle = (t: number, d: number): number =>
      [0, 1, 2].reduce((sum, k) => sum + mesh.vertices[3 * mesh.triangles[3 * t + k]! + d]! / 3, 0);
    for (let t = 0; t < domain.owner.length; t++) {
      if (domain.owner[t] !== 0) {
        expect(sources[t]).toBe(-1);
        continue;
      }
      const p = panelPoint(domain.surface, t, 1 / 3, 1 / 3);
      apart = Math.max(apart, Math.hypot(...p.map((x, d) => x - middle(sources[t]!, d))));
    }
    expect(apart).toBeLessThan(0.004);
  });
});
