/** What metal is it, and should the job be taken. Theory: docs/theory/process.md */
export * from './density.js';
export * from './gate.js';
export * from './identify.js';
export { type Hollow, normalCdf } from './likelihood.js';
export * from './mass.js';
