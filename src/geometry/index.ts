/** Meshes: import, repair report, shapes, the electrolyte domain, panels. May import units and numerics. */

export * from './domain/index.js';
export * from './panels/index.js';
export * from './shapes/index.js';
export * from './surface.js';
