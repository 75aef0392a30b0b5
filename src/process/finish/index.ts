/** Stripping, deposit systems, threads, levelling and polishing. Theory: docs/theory/process.md */
export * from './metals.js';
export * from './strip.js';
export * from './surface.js';
export * from './system.js';
export * from './thread.js';
