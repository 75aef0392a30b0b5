/**
 * Fast sums over point charges and dipoles: multipoles, SIMD kernels, threads. May import src/field/operator.ts and
 * src/field/wasm. Theory: docs/theory/fast-operator.md
 */
export { type Crew, type Invitation, joinCrew, type SharedCrew, sharedCrew, soloCrew } from './crew.js';
export { type FastSettings, fastOperator } from './operator.js';
