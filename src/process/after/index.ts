/** What comes after plating: bake, weighing, adhesion tests, certificate. Theory: docs/theory/process.md */
export * from './accept.js';
export * from './bake.js';
export * from './weigh.js';
