/** A forecast in open formats: glTF for viewers, VTK for analysis. */
export { mapGlb } from './glb.js';
export { mapVtu } from './vtu.js';
