/** Sourced records: load, validate, look up, provenance. May import units. Theory: docs/theory/records.md; the data: library/ */
export * from './bath.js';
export * from './bath-choice.js';
export * from './check.js';
export * from './documents.js';
export * from './formula.js';
export * from './interval.js';
export * from './library.js';
export * from './lookup.js';
export * from './nearest.js';
export * from './record.js';
