import fc from 'fast-check';
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { fixtureBodies, fixtureForecast, fixtureMap } from '../../../test/fixtures/forecast.js';
import { contour, isClosed, slice } from './facets.js';
import { mapDrawing } from './map-drawing.js';
import { bounds, project, THREE_QUARTER } from './project.js';
import { bandOf, bands, roundStep } from './scale.js';
import { setupDrawing } from './setup-drawing.js';
import { toSvg } from './svg.js';
import { thinned } from './thin.js';

const area = (ring: number[]): number => {
  let sum = 0;
  for (let i = 0, j = ring.length - 2; i < ring.length; j = i, i += 2)
    sum += ring[j]! * ring[i + 1]! - ring[i]! * ring[j + 1]!;
  return Math.abs(sum) / 2;
};

describe('slicing a triangle by thickness', () => {
  const number = fc.double({ min: -5, max: 5, noNaN: true });
  it('loses no area and adds none, whatever the values', () => {
    fc.assert(
      fc.property(fc.tuple(number, number, number), (values) => {
        const xy = [0, 0, 4, 0, 1, 3];
        const edges = [-Infinity, -3, -1, 0, 2, Infinity];
        const pieces = edges.slice(1).map((high, i) => slice(xy, values, edges[i]!, high));
        const sum = pieces.reduce((total, ring) => total + (ring.length ? area(ring) : 0), 0);
        // A flat triangle exactly on an edge value belongs to both neighbours.
        const flat = values.every((v) => v === values[0]) && edges.includes(values[0]);
        expect(flat || Math.abs(sum - 6) < 1e-9).toBe(true);
      }),
    );
  });
  it('cuts the contour where the linear value has the level', () => {
    expect(contour([0, 0, 4, 0, 0, 4], [0, 4, 0], 1)).toEqual([1, 0, 1, 3]);
    expect(contour([0, 0, 4, 0, 0, 4], [2, 4, 3], 1)).toEqual([]);
  });
});

describe('the scale', () => {
  it('has round steps that reach the top', () => {
    expect(roundStep(17, 8)).toBeCloseTo(2.5);
    const scale = bands(0, 17.1e-6, 1e-6);
    expect(scale.edges.at(-1)! >= 17.1e-6).toBe(true);
    expect(scale.colours).toHaveLength(scale.edges.length - 1);
    expect([0, 2.4e-6, 2.5e-6, 1].map((t) => bandOf(scale, t))).toEqual([0, 0, 1, scale.colours.length - 1]);
  });
});

describe('a scale for a deposit of similar thickness all over', () => {
  it('starts near the thin end and still has several bands', () => {
    const scale = bands(38e-6, 46e-6, 1e-6);
    expect(scale.edges[0]).toBeCloseTo(38e-6, 12);
    expect(scale.edges.at(-1)).toBeCloseTo(46e-6, 12);
    expect(scale.colours.length).toBeGreaterThanOrEqual(6);
    expect([0, 38.5e-6, 39.5e-6, 1].map((t) => bandOf(scale, t))).toEqual([
      0,
      0,
      1,
      scale.colours.length - 1,
    ]);
  });
});

describe('projection', () => {
  it('keeps lengths across the line of sight and puts what is nearer in front', () => {
    const p = project([0, 0, 0, 0, -1, 0, 1, 0, 0], { azimuth: 0, elevation: 0 });
    expect([p[6]! - p[0]!, p[5]! - p[2]!]).toEqual([1, 1]);
  });
});

describe('drawings', () => {
  const map = fixtureMap();
  const forecast = fixtureForecast();
  const drawing = mapDrawing(map, {
    scale: bands(0, 2e-5, 1e-6),
    required: 8e-6,
    view: THREE_QUARTER,
    width: 60,
    height: 40,
    title: 'Thickness <on> the "part"',
    marks: [{ letter: 'A', position: forecast.thinnest.position }],
  });
  it('fills the page and stays on it', () => {
    const points = drawing.items.flatMap((i) => ('points' in i ? i.points : [i.x, i.y]));
    const xyz = new Float64Array((points.length / 2) * 3);
    for (let i = 0; i < points.length / 2; i++) xyz.set([points[2 * i]!, points[2 * i + 1]!, 0], 3 * i);
    const box = bounds(xyz);
    expect(box.minX >= 0 && box.minY >= 0 && box.maxX <= 60 && box.maxY <= 40).toBe(true);
    expect(box.maxY - box.minY).toBeGreaterThan(20);
  });
  it('shows burnt and bare places by pattern, not by colour alone', () => {
    const patterns = new Set(
      drawing.items.flatMap((i) => (i.kind === 'area' && typeof i.fill !== 'string' ? [i.fill.pattern] : [])),
    );
    expect([...patterns].sort()).toEqual(['bare', 'burnt']);
  });
  it('becomes well-formed SVG without style attributes', () => {
    const svg = toSvg(drawing, 'map');
    let elements = 0;
    const parser = new SaxesParser();
    parser.on('opentag', (tag) => {
      elements += 1;
      expect(Object.keys(tag.attributes)).not.toContain('style');
    });
    parser.on('error', (error) => {
      throw error;
    });
    parser.write(svg).close();
    expect(elements).toBeGreaterThan(100);
    expect(svg).toContain('aria-label="Thickness &lt;on&gt; the &quot;part&quot;"');
  });
  it('names the anodes in the sketch of the set-up', () => {
    const sketch = setupDrawing(map, fixtureBodies(), {
      view: THREE_QUARTER,
      width: 60,
      height: 60,
      title: 'Set-up',
    });
    const words = sketch.items.flatMap((i) => (i.kind === 'text' ? [i.text] : []));
    expect(words.sort()).toEqual(['left anode', 'right anode']);
  });
});

describe('thinning a mesh for paper', () => {
  it('keeps the bounds within a cell, the range of values and the closedness of a plain ring', () => {
    const map = fixtureMap(400);
    expect(isClosed(map.triangles)).toBe(true);
    const coarse = thinned(
      { positions: map.positions, triangles: map.triangles, fields: [map.thickness] },
      4000,
    );
    expect(coarse.triangles.length / 3).toBeLessThanOrEqual(4000);
    const [a, b] = [bounds(Float64Array.from(map.positions)), bounds(Float64Array.from(coarse.positions))];
    expect(Math.abs(a.maxX - b.maxX)).toBeLessThan(0.02 / 16);
    expect(Math.max(...coarse.fields[0]!)).toBeLessThanOrEqual(Math.max(...map.thickness) * (1 + 1e-6));
    expect(Math.max(...coarse.fields[0]!)).toBeGreaterThan(Math.max(...map.thickness) * 0.9);
  });
});
