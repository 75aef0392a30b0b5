/** Practice records: steps, surfaces, substrates, deposits, with their sources. Data: library/. Theory: docs/theory/process.md */
export * from './cite.js';
export * from './find.js';
export * from './practice.js';
export * from './shapes.js';
export * from './shapes-finish.js';
export * from './shapes-hazard.js';
export * from './shapes-intake.js';
export * from './shapes-trouble.js';
export * from './unread.js';
