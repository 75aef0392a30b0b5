/** What is in the water: species, equilibrium, conductivity, density, colour. May import units and numerics. Theory: docs/theory/aqueous.md */

export * from './activity.js';
export * from './beaker/index.js';
export * from './colour.js';
export * from './composition.js';
export * from './conductivity.js';
export * from './equilibrium.js';
export * from './evidence.js';
export * from './liquid.js';
export * from './makeup.js';
export * from './mixture.js';
export * from './records.js';
export * from './solutes.js';
export * from './system.js';
export * from './upkeep.js';
export * from './water.js';
