/** Meshes: import, repair report, shapes, the electrolyte domain, panels. May import units and numerics. */
export * from './surface.js';
