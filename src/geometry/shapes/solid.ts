import type { Problem } from '../../units/index.js';
import type { SizeRequest } from '../panels/size.js';
import type { Skin } from '../panels/skin.js';
import type { Vec3 } from './vector.js';

/** A smooth piece of a solid's skin. Sharp edges run between faces, and so do the borders of roundings. */
export interface Face {
  /** Nearest point of the face, its rim included [m]. */
  closest(p: Vec3): Vec3;
  /**
   * Point of the face a share t of the way from a to b, both on it. Where it is left out the chord is close enough to
   * the face for `closest` to do; stretched panels on a small rounding need better.
   */
  between?(a: Vec3, b: Vec3, t: number): Vec3;
}

/** A shape as geometry: exact questions answered in closed form, and its skin as panels. Own coordinates, metres. */
export interface Solid {
  faces: Face[];
  /** Distance [m] to the skin, negative inside the metal. */
  distance(p: Vec3): number;
  /** Structured panels, mid-side nodes on the true surface, graded as asked. */
  panels(request: SizeRequest): Skin;
  /** Panels whose flat facets stay within `tolerance` [m] of the surface. */
  tessellate(tolerance: number): Skin;
  /** Exact surface area [m2] (both faces of a sheet) and volume [m3]; NaN where no closed form is known. */
  area: number;
  volume: number;
  /** Lengths below this [m] mean nothing on this body. */
  tolerance: number;
  bounds: { min: Vec3; max: Vec3 };
  /** Points of the skin, xyz [m], dense enough to find what is near; draft panels serve where absent. */
  samples?: Float64Array;
  /** What the person should know about how the form was read. */
  remarks?: Problem[];
  /** Panels are cut freely over the skin, as on a part from a file, and not in rows. */
  freelyCut?: boolean;
  /** A sheet without thickness: an open surface wetted on both faces. */
  open?: boolean;
}
