/** Boundary elements for the potential in the electrolyte. May import units, numerics, geometry. Theory: docs/theory/field.md */

export * from './adapt.js';
export { basisAt, basisOf } from './basis.js';
export {
  askedQuality,
  type FieldCase,
  nodesFor,
  patchRoles,
  readFieldCase,
  readPanelCase,
} from './case.js';
export { readObjPatches } from './case-obj.js';
export { type NamedTriangles, type SurfaceSource, surfaceSource } from './case-surface.js';
export * from './estimate.js';
export * from './fast/index.js';
export * from './layers.js';
export * from './operator.js';
export * from './probe.js';
export * from './problem.js';
export * from './quantiles.js';
export * from './remarks.js';
export * from './solver.js';
export * from './system.js';
export * from './write.js';
