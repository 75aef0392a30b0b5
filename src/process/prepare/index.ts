/** Preparation: composes the ordered steps for a substrate and a deposit, and checks them. Theory: docs/theory/process.md */
export * from './check.js';
export * from './compose.js';
export * from './describe.js';
export * from './mixed.js';
export * from './strength.js';
export { laysMetal, type Passage } from './trace.js';
