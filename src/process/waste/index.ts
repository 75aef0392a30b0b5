/** Waste, rinses and the keeping of a bath. Theory: docs/theory/process.md */
export * from './keep.js';
export * from './precipitate.js';
export * from './rinse.js';
