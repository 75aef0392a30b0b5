/** Quantities: parse, print, exact constants, and the one shape of a problem. Imports nothing. */
export * from './constants.js';
export * from './parameter.js';
export * from './problem.js';
export * from './quantity.js';
