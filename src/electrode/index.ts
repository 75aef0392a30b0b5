/** Electrode reactions, mass transfer, efficiency, deposit growth. May import units and numerics. Theory: docs/theory/electrode.md */
export * from './faraday.js';
