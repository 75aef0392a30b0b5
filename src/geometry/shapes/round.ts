import { filleted } from './fillet.js';
import { lathe } from './lathe.js';
import { profileOf } from './profile.js';
import { arc } from './segment.js';
import type { Shape } from './shape.js';
import type { Solid } from './solid.js';
import type { Vec2 } from './vector.js';

type Round = Extract<
  Shape,
  { kind: 'band-ring' | 'disc' | 'rod' | 'tube' | 'sphere' | 'spheroid' | 'torus' | 'lathed' }
>;

/** Solids turned about z. The shape has been checked: anything that does not fit is a bug here. */
export function roundSolid(shape: Round): Solid {
  switch (shape.kind) {
    case 'sphere':
      return ellipse(shape.diameter / 2, shape.diameter / 2);
    case 'spheroid':
      return ellipse(shape.equatorDiameter / 2, shape.poleDiameter / 2);
    case 'torus':
      return lathe(
        profileOf(
          [0, 1, 2, 3].map((k) =>
            arc(
              [shape.ringDiameter / 2, 0],
              shape.sectionDiameter / 2,
              (k * Math.PI) / 2,
              ((k + 1) * Math.PI) / 2,
            ),
          ),
          true,
        ),
      );
    default: {
      const { corners, rounding, closed } = sectionOf(shape);
      const segments = filleted(corners, () => rounding, closed);
      if (!segments) throw new Error(`rounding does not fit a ${shape.kind}; check the shape first`);
      return lathe(profileOf(segments, closed));
    }
  }
}

function ellipse(equator: number, pole: number): Solid {
  const quarter = (start: number) =>
    ({ kind: 'arc', centre: [0, 0], radii: [equator, pole], start, end: start + Math.PI / 2 }) as const;
  return lathe(profileOf([quarter(-Math.PI / 2), quarter(0)], false));
}

/** Corners (r, z) of the half section, metal on the left, and whether they close on themselves. */
export function sectionOf(shape: Exclude<Round, { kind: 'sphere' | 'spheroid' | 'torus' }>): {
  corners: Vec2[];
  rounding: number;
  closed: boolean;
} {
  const rounding = shape.rounding ?? 0;
  const full = (r: number, l: number) => ({
    corners: [
      [0, -l / 2],
      [r, -l / 2],
      [r, l / 2],
      [0, l / 2],
    ] as Vec2[],
    rounding,
    closed: false,
  });
  const hollow = (inner: number, outer: number, l: number) => ({
    corners: [
      [inner, -l / 2],
      [outer, -l / 2],
      [outer, l / 2],
      [inner, l / 2],
    ] as Vec2[],
    rounding,
    closed: true,
  });
  switch (shape.kind) {
    case 'band-ring':
      return hollow(shape.outerDiameter / 2 - shape.thickness, shape.outerDiameter / 2, shape.height);
    case 'tube':
      return hollow(shape.innerDiameter / 2, shape.outerDiameter / 2, shape.length);
    case 'disc':
      return full(shape.diameter / 2, shape.thickness);
    case 'rod':
      return full(shape.diameter / 2, shape.length);
    case 'lathed': {
      const onAxis = (c: Vec2 | undefined): boolean => c?.[0] === 0;
      return {
        corners: shape.corners,
        rounding,
        closed: !(onAxis(shape.corners[0]) && onAxis(shape.corners.at(-1))),
      };
    }
  }
}
