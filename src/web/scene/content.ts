/** What the scene is fed: plain arrays in metres, z up. */
export interface SceneMesh {
  positions: Float32Array;
  triangles: Uint32Array;
}

export interface ScenePart extends SceneMesh {
  /** Per vertex; absent before there is a forecast. */
  thickness?: Float32Array;
  /** Per vertex: 0 plated, 1 bare, 2 burnt. */
  flag?: Uint8Array;
  /** Per triangle. */
  significant?: Uint8Array;
}

export interface SceneBody extends SceneMesh {
  name: string;
  role: 'hook' | 'anode' | 'shield' | 'robber';
}

export type SceneVessel = {
  height: number;
  /** Height of the liquid. */
  level: number;
} & ({ diameter: number } | { x: number; y: number });

export interface SceneContent {
  part?: ScenePart;
  bodies: SceneBody[];
  vessel?: SceneVessel;
}

export interface SceneMark {
  letter: string;
  position: readonly [number, number, number];
}
