/** Everything around the current: preparation, after-treatment, hazards, waste. May import units, numerics, library. Theory: docs/theory/process.md */
export * from './identify/index.js';
export * from './prepare/index.js';
export * from './records/index.js';
