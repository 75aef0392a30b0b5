/** Trouble: what is seen, ranked causes by this job's own numbers, the check that separates them. Theory: docs/theory/process.md */
export * from './amounts.js';
export * from './diagnose.js';
