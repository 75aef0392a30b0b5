/**
 * Part files in: STL, OBJ, PLY, glTF/GLB and 3MF, as pure functions of bytes. Imports units, numerics and repair.
 * Formats, traps, limits and the choice of unit: docs/theory/part-files.md.
 */
export {
  DEFAULT_LIMITS,
  type FileUnit,
  type Format,
  type MeshReading,
  type PartFile,
  type ReadLimits,
} from './file.js';
export { type ImportedPart, type ImportOptions, importPart, readMesh, unusableAsSolid } from './part.js';
export { triangulatePolygon } from './polygon.js';
export { type UnitChoice, unitNamed } from './unit.js';
