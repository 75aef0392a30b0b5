/** The electrolyte domain: vessel up to the liquid less everything in it, as panels. Theory: docs/theory/panels.md */
export * from './booleans.js';
export * from './build.js';
export * from './check.js';
export * from './closed.js';
export * from './display.js';
export * from './domain.js';
export * from './spec.js';
export * from './vessel.js';
