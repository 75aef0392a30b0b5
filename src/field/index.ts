/** Boundary elements for the potential in the electrolyte. May import units, numerics, geometry. Theory: docs/theory/field.md */

export * from './layers.js';
export * from './operator.js';
export * from './problem.js';
export * from './solver.js';
export * from './system.js';
