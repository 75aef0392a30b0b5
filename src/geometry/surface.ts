/**
 * A surface of curved triangles: the boundary of the electrolyte, cut into panels.
 * Each panel is a quadratic triangle: three corners and three mid-side nodes, which lie on the true surface where that
 * is known and half way between the corners where it is not (a flat panel).
 */
export interface PanelSurface {
  /** Node positions [m], xyz after xyz; shared between panels. */
  nodes: Float64Array;
  /** Six node numbers a panel: corners a, b, c, then the mid-sides of ab, bc, ca. */
  panels: Int32Array;
  /** Patch number per panel; patches carry the role and law (metal, wall, ...). */
  patch: Int32Array;
  /** Body number per panel; a body moves as one piece, so what belongs to an unmoved body can be reused. */
  body: Int32Array;
  /** Names of the patches, e.g. `part`, `hook`, `anode 1`, `wall`. */
  patchNames: string[];
}

/** Triangles as read from a file or made by a shape: the input side of geometry. */
export interface TriangleMesh {
  /** Positions [m], xyz after xyz. */
  vertices: Float64Array;
  /** Three vertex numbers a triangle, counter-clockwise seen from outside the solid. */
  triangles: Uint32Array;
}
