/** What a job takes in hands, metal, bath, energy and risk, and the quote that follows. Theory: docs/theory/process.md */
export * from './quote.js';
export * from './time.js';
