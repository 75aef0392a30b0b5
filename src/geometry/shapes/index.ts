/** Shapes without a file: plain data, their checks, and their exact geometry. May import units and the panel makers. */
export * from './check.js';
export { piecesOf } from './compound.js';
export * from './make.js';
export * from './placement.js';
export * from './shape.js';
export type { Face, Solid } from './solid.js';
export type { Vec2, Vec3 } from './vector.js';
