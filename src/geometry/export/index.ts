/** Triangle meshes out: STL, PLY, OBJ as bytes or text. Imports nothing but the mesh type. */
export { type Grouping, writeObj } from './obj.js';
export { type FaceValues, writePly } from './ply.js';
export { writeStl } from './stl.js';
