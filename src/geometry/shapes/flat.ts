import { extrude } from './extrude.js';
import { filleted } from './fillet.js';
import { type Profile, profileOf } from './profile.js';
import { arc } from './segment.js';
import type { Shape } from './shape.js';
import type { Solid } from './solid.js';
import type { Vec2 } from './vector.js';

/** A closed outline through corners, rounded; undefined where the rounding does not fit. */
export function outlineOf(corners: Vec2[], radius: number): Profile | undefined {
  const segments = filleted(corners, () => radius, true);
  return segments && profileOf(segments, true);
}

export const plateCorners = ({ x, y }: { x: number; y: number }): Vec2[] => [
  [-x / 2, -y / 2],
  [x / 2, -y / 2],
  [x / 2, y / 2],
  [-x / 2, y / 2],
];

/** Round hole as a clockwise loop. */
const holeLoop = (centre: Vec2, radius: number): Profile =>
  profileOf(
    [0, 1, 2, 3].map((k) => arc(centre, radius, (-k * Math.PI) / 2, (-(k + 1) * Math.PI) / 2)),
    true,
  );

/** Clockwise order, whichever way the corners came. */
function clockwise(corners: Vec2[]): Vec2[] {
  const twice = corners.reduce((sum, a, i) => {
    const b = corners[(i + 1) % corners.length]!;
    return sum + a[0] * b[1] - a[1] * b[0];
  }, 0);
  return twice > 0 ? [...corners].reverse() : corners;
}

export function flatSolid(shape: Extract<Shape, { kind: 'plate' | 'extruded' }>): Solid {
  const corners = shape.kind === 'plate' ? plateCorners(shape) : shape.outline;
  const outline = outlineOf(corners, shape.cornerRadius ?? 0);
  if (!outline) throw new Error('corner radius does not fit; check the shape first');
  if (shape.kind === 'plate') {
    const holes = (shape.holes ?? []).map((h) => holeLoop([h.x, h.y], h.diameter / 2));
    return extrude(outline, holes, -shape.thickness / 2, shape.thickness / 2);
  }
  const holes = (shape.holes ?? []).map((h) => outlineOf(clockwise(h), 0)!);
  return extrude(outline, holes, 0, shape.height);
}
