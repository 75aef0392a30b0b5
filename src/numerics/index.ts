/** Numerics without physics: linear algebra, quadrature, root finding, seeded random numbers. Imports nothing. */
export * from './watch.js';
