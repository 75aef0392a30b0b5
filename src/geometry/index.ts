/** Meshes: import, repair report, shapes, the electrolyte domain, panels. May import units and numerics. */

export * from './domain/index.js';
export * from './export/index.js';
export * from './import/index.js';
export * from './measure.js';
export * from './panels/index.js';
export * from './repair/index.js';
export * from './shapes/index.js';
export * from './surface.js';
