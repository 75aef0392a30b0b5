/** Gases against the room, substances, what must never meet. Theory: docs/theory/process.md */
export * from './air.js';
export * from './gases.js';
export * from './sheet.js';
