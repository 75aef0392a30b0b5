/** Boundary elements for the potential in the electrolyte. May import units, numerics, geometry. Theory: docs/theory/field.md */
export * from './operator.js';
export * from './problem.js';
