/** Numerics without physics: linear algebra, quadrature, root finding, seeded random numbers. Imports nothing. */
export * from './dense.js';
export * from './gmres.js';
export * from './kd-tree.js';
export * from './quadrature.js';
export * from './watch.js';
