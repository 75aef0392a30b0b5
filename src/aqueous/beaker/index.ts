/** The beaker in which an anode dissolves, in time. Electrode laws are handed in. May import units and the rest of aqueous. Theory: docs/theory/aqueous.md#dissolving */
export * from './cell.js';
export * from './model.js';
export * from './run.js';
