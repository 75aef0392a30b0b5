/** Electrode reactions, mass transfer, efficiency, deposit growth. May import units and numerics. Theory: docs/theory/electrode.md */
export * from './anode.js';
export * from './bath-laws.js';
export * from './cathode.js';
export * from './deposition.js';
export * from './faraday.js';
export * from './flags.js';
export * from './growth.js';
export * from './hydrogen.js';
export * from './mass-transfer.js';
export * from './program.js';
export * from './surface-law.js';
export * from './throwing.js';
export * from './water.js';
export * from './wire.js';
