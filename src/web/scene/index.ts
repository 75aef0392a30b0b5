/** The three-dimensional picture: three.js without React, fed plain arrays, frees what it makes. */
export { BenchScene, type Focus, type Palette } from './bench-scene.js';
export type { SceneBody, SceneContent, SceneMark, ScenePart, SceneVessel } from './content.js';
export type { PartLook } from './part-material.js';
