/**
 * Repair of triangle surfaces, every change counted. Imports units and numerics.
 * Rules, kinds and reasons: docs/theory/part-files.md.
 */
export { type RepairedSurface, repairSurface } from './repair.js';
export { type Repair, RepairLog } from './report.js';
