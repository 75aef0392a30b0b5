import { describe, expect, it } from 'vitest';
import { panelAreas, volumeBelow } from '../panels/measure.js';
import type { Quality } from '../panels/size.js';
import { openSides } from '../panels/testing/watertight.js';
import { checkShape } from './check.js';
import { solidOf } from './make.js';
import type { Shape } from './shape.js';

const sum = (a: Float64Array): number => a.reduce((x, y) => x + y, 0);
const mm = 1e-3;

/** Area and volume by closed forms of school geometry (Bronshtein, Handbook of Mathematics; from memory), in mm. */
const bodies: [Shape, number, number][] = [
  [{ kind: 'sphere', diameter: 20 * mm }, 4 * Math.PI * 100, (4 / 3) * Math.PI * 1000],
  [{ kind: 'rod', diameter: 6 * mm, length: 60 * mm }, Math.PI * 6 * 60 + 18 * Math.PI, Math.PI * 9 * 60],
  [{ kind: 'disc', diameter: 20 * mm, thickness: mm }, 220 * Math.PI, 100 * Math.PI],
  [
    { kind: 'tube', outerDiameter: 20 * mm, innerDiameter: 16 * mm, length: 30 * mm },
    Math.PI * (20 + 16) * 30 + 2 * Math.PI * (100 - 64),
    Math.PI * 36 * 30,
  ],
  [
    { kind: 'torus', ringDiameter: 40 * mm, sectionDiameter: 20 * mm },
    4 * Math.PI ** 2 * 20 * 10,
    2 * Math.PI ** 2 * 20 * 100,
  ],
  [
    { kind: 'spheroid', equatorDiameter: 20 * mm, poleDiameter: 40 * mm },
    // 2 pi a^2 (1 + c/(a e) asin e), e^2 = 1 - a^2/c^2
    2 * Math.PI * 100 * (1 + (2 / Math.sqrt(0.75)) * Math.asin(Math.sqrt(0.75))),
    (4 / 3) * Math.PI * 100 * 20,
  ],
  [
    { kind: 'spheroid', equatorDiameter: 40 * mm, poleDiameter: 20 * mm },
    // 2 pi a^2 (1 + (1 - e^2)/e artanh e), e^2 = 1 - c^2/a^2
    2 * Math.PI * 400 * (1 + (0.25 / Math.sqrt(0.75)) * Math.atanh(Math.sqrt(0.75))),
    (4 / 3) * Math.PI * 400 * 10,
  ],
  [{ kind: 'box', x: 10 * mm, y: 20 * mm, z: 30 * mm }, 2200, 6000],
  [
    {
      kind: 'lathed',
      corners: [
        [0, 0],
        [10 * mm, 0],
        [0, 20 * mm],
      ],
    },
    Math.PI * 100 + Math.PI * 10 * Math.hypot(10, 20),
    (Math.PI * 100 * 20) / 3,
  ],
  [
    // A straight wire with round ends: cylinder and sphere.
    {
      kind: 'wire',
      diameter: mm,
      path: [
        [0, 0, 0],
        [0, 0, 30 * mm],
      ],
    },
    Math.PI * 30 + Math.PI,
    Math.PI * 0.25 * 30 + (4 / 3) * Math.PI * 0.125,
  ],
  [
    {
      kind: 'plate',
      x: 40 * mm,
      y: 30 * mm,
      thickness: 2 * mm,
      holes: [{ x: 10 * mm, y: 0, diameter: 6 * mm }],
    },
    2 * (1200 - 9 * Math.PI) + 2 * (140 + 6 * Math.PI),
    2 * (1200 - 9 * Math.PI),
  ],
  [
    {
      kind: 'extruded',
      outline: [
        [0, 0],
        [30 * mm, 0],
        [30 * mm, 10 * mm],
        [10 * mm, 10 * mm],
        [10 * mm, 30 * mm],
        [0, 30 * mm],
      ],
      holes: [
        [
          [2 * mm, 2 * mm],
          [6 * mm, 2 * mm],
          [6 * mm, 6 * mm],
          [2 * mm, 6 * mm],
        ],
      ],
      height: 10 * mm,
    },
    2 * (500 - 16) + 10 * (120 + 16),
    10 * (500 - 16),
  ],
  [
    // Rounding r takes (4 - pi) r^2 of the section; Pappus with the centroid unmoved by symmetry.
    { kind: 'band-ring', outerDiameter: 20 * mm, thickness: 2 * mm, height: 6 * mm, rounding: 0.4 * mm },
    2 * Math.PI * 9 * (16 - 8 * 0.4 + 2 * Math.PI * 0.4),
    2 * Math.PI * 9 * (12 - (4 - Math.PI) * 0.16),
  ],
];

describe('shapes', () => {
  it.each(bodies)('$kind has the area and volume of its closed form', (shape, area, volume) => {
    const solid = solidOf(shape);
    expect(solid.area / (area * 1e-6)).toBeCloseTo(1, 9);
    expect(solid.volume / (volume * 1e-9)).toBeCloseTo(1, 9);
  });

  // Quadratic arcs lie inside their circle by about (half angle)^4 / 45 of the radius: hence the three ceilings.
  it.each([
    ['draft', 1e-2],
    ['standard', 1.2e-3],
    ['fine', 1.5e-4],
  ] as [Quality, number][])('panels at %s are closed, on the surface and true to %f', (quality, ceiling) => {
    for (const [shape] of bodies) {
      const solid = solidOf(shape);
      const skin = solid.panels({ quality });
      expect(openSides(skin), shape.kind).toBe(0);
      expect(Math.abs(sum(panelAreas(skin)) / solid.area - 1), shape.kind).toBeLessThan(ceiling);
      expect(Math.abs(volumeBelow(skin, 0) / solid.volume - 1), shape.kind).toBeLessThan(2 * ceiling);
      let off = 0;
      for (let i = 0; i < skin.nodes.length; i += 3)
        off = Math.max(
          off,
          Math.abs(solid.distance([skin.nodes[i]!, skin.nodes[i + 1]!, skin.nodes[i + 2]!])),
        );
      expect(off, shape.kind).toBeLessThan(1e-9);
    }
  });

  it('facets are closed and within the tolerance asked for', () => {
    for (const [shape] of bodies) {
      const solid = solidOf(shape);
      const flat = solid.tessellate(2e-5);
      expect(openSides(flat), shape.kind).toBe(0);
      let off = 0;
      for (let t = 0; t < flat.panels.length; t += 6) {
        const c = [0, 0, 0];
        for (let k = 0; k < 3; k++)
          for (let d = 0; d < 3; d++) c[d]! += flat.nodes[3 * flat.panels[t + k]! + d]! / 3;
        off = Math.max(off, Math.abs(solid.distance([c[0]!, c[1]!, c[2]!])));
      }
      expect(off, shape.kind).toBeLessThan(2e-5);
    }
  });

  it.each([
    [{ kind: 'sphere', diameter: -1 }, 'size-not-positive'],
    [{ kind: 'rod', diameter: 0.006, length: 60 }, 'size-absurd'],
    [{ kind: 'tube', outerDiameter: 0.01, innerDiameter: 0.02, length: 0.01 }, 'inner-not-inside'],
    [
      { kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.002 },
      'rounding-too-big',
    ],
    [
      {
        kind: 'lathed',
        corners: [
          [0, 0],
          [0.01, 0.01],
          [0.01, 0],
          [0, 0.01],
        ],
      },
      'outline-crosses-itself',
    ],
    [
      {
        kind: 'lathed',
        corners: [
          [0, 0],
          [0, 0.01],
          [0.01, 0.01],
        ],
      },
      'outline-clockwise',
    ],
    [
      { kind: 'plate', x: 0.04, y: 0.03, thickness: 0.002, holes: [{ x: 0.019, y: 0, diameter: 0.006 }] },
      'hole-not-inside',
    ],
    [
      {
        kind: 'wire',
        diameter: 0.001,
        path: [
          [0, 0, 0],
          [0, 0, 0.001],
          [0.001, 0, 0.001],
        ],
      },
      'wire-path',
    ],
    [
      {
        kind: 'round-case',
        diameter: 0.04,
        height: 0.01,
        bore: 0.05,
        rounding: 0,
        lugs: { strap: 0.02, width: 0.003, reach: 0.024, height: 0.005 },
      },
      'case-measures',
    ],
  ] as [Shape, string][])('refuses $kind that cannot be made', (shape, code) => {
    expect(checkShape(shape, 'bodies[0].form').map((p) => p.code)).toContain(code);
    for (const problem of checkShape(shape, 'bodies[0].form'))
      expect(problem.path).toMatch(/^bodies\[0\]\.form\./);
  });

  it('knows distances to a ring from inside, outside and the hole', () => {
    const ring = solidOf({
      kind: 'band-ring',
      outerDiameter: 0.02,
      thickness: 0.002,
      height: 0.006,
      rounding: 0,
    });
    expect(ring.distance([0.009, 0, 0])).toBeCloseTo(-0.001, 12);
    expect(ring.distance([0.013, 0, 0])).toBeCloseTo(0.003, 12);
    expect(ring.distance([0, 0, 0])).toBeCloseTo(0.008, 12);
    expect(ring.distance([0, 0.013, 0.007])).toBeCloseTo(0.005, 12);
  });
});
