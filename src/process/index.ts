/** Everything around the current: preparation, after-treatment, hazards, waste. May import units, numerics, library. Theory: docs/theory/process.md */
export * from './after/index.js';
export * from './finish/index.js';
export * from './hazards/index.js';
export * from './identify/index.js';
export * from './prepare/index.js';
export * from './price/index.js';
export * from './records/index.js';
export * from './trouble/index.js';
export * from './waste/index.js';
