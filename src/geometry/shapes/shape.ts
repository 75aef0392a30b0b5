import type { Vec2, Vec3 } from './vector.js';

/**
 * Shapes that need no file: a few numbers, all lengths in metres. Round bodies have their axis along z; every shape but
 * `wire`, `lathed` and `extruded` is centred on the origin. `rounding` is the radius of every outstanding edge.
 */
export type Shape =
  | { kind: 'band-ring'; outerDiameter: number; thickness: number; height: number; rounding: number }
  | { kind: 'disc'; diameter: number; thickness: number; rounding?: number }
  | { kind: 'rod'; diameter: number; length: number; rounding?: number }
  | { kind: 'tube'; outerDiameter: number; innerDiameter: number; length: number; rounding?: number }
  | { kind: 'sphere'; diameter: number }
  /** Axis of turning along z: `poleDiameter` along it, `equatorDiameter` across. */
  | { kind: 'spheroid'; equatorDiameter: number; poleDiameter: number }
  /** A ring of round section; `ringDiameter` is that of the centre line. */
  | { kind: 'torus'; ringDiameter: number; sectionDiameter: number }
  | { kind: 'box'; x: number; y: number; z: number }
  /** Flat in z, holes straight through. */
  | { kind: 'plate'; x: number; y: number; thickness: number; cornerRadius?: number; holes?: Hole[] }
  /**
   * Turned about z from corners (r, z) going round the metal counter-clockwise (r to the right). A profile that starts
   * and ends on the axis is closed by it; any other is closed on itself. `rounding` rounds every corner off the axis.
   */
  | { kind: 'lathed'; corners: Vec2[]; rounding?: number }
  /** Outline (x, y), counter-clockwise, with holes (either way round), from z = 0 to `height`. */
  | { kind: 'extruded'; outline: Vec2[]; holes?: Vec2[][]; height: number; cornerRadius?: number }
  /** Round wire along a chain of points, bends rounded, ends round. With a loop, a full turn follows at the last point. */
  | { kind: 'wire'; diameter: number; path: Vec3[]; bend?: number; loop?: WireLoop }
  /** A watch case: a turned ring with a bore and two pairs of lugs along y. */
  | { kind: 'round-case'; diameter: number; height: number; bore: number; rounding: number; lugs: Lugs }
  /** Without thickness, wetted on both faces: for checks against closed forms. */
  | { kind: 'sheet'; x: number; y: number }
  | { kind: 'round-sheet'; diameter: number };

export interface Hole {
  x: number;
  y: number;
  diameter: number;
}

/** A turn of the wire around something, e.g. around the band of a ring. */
export interface WireLoop {
  /** Diameter of the centre line of the turn. */
  diameter: number;
  /** Direction the turn goes around; the wire climbs along it by a little more than its own diameter. */
  axis: Vec3;
}

export interface Lugs {
  /** Distance between the two lugs of a pair, inside to inside: the strap width. */
  strap: number;
  /** Width of one lug. */
  width: number;
  /** Distance of the lug tips from the centre. */
  reach: number;
  /** Height of a lug. */
  height: number;
}

export type ShapeKind = Shape['kind'];

/** Where a shape stands: turned by a unit quaternion (x, y, z, w), then moved. */
export interface Placement {
  position: Vec3;
  turn?: readonly [number, number, number, number];
}

export interface PlacedShape {
  shape: Shape;
  placement: Placement;
}
