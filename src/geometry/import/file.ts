import type { Watch } from '../../numerics/index.js';
import type { Problem } from '../../units/index.js';
import type { Repair } from '../repair/report.js';

/** A part file as a door hands it in: bytes, its name, and a way to ask for files that lie beside it. */
export interface PartFile {
  /** File name; only its ending is used, and only where the bytes do not say what they are. */
  name: string;
  bytes: Uint8Array;
  /**
   * Fetches a file named inside this one (a glTF buffer). The name has been checked: relative, no `..`, no scheme, no
   * backslash. Undefined where there is none. Without a resolver such files are refused.
   */
  sibling?: (name: string) => Promise<Uint8Array | undefined>;
  /** Loads the Draco decoder module; without it a Draco-compressed file is refused with a sentence. */
  draco?: () => Promise<unknown>;
}

/** What a reader will take on at most. Everything beyond is refused before memory is asked for. */
export interface ReadLimits {
  /** Bytes of the file, siblings included. */
  bytes: number;
  triangles: number;
  /** Bytes after unpacking a 3MF archive. */
  unpacked: number;
  /** Unpacked over packed size at which an archive of more than 16 MiB counts as a trap; text packs 5 to 30 fold. */
  ratio: number;
  /** Placed copies of meshes in a glTF or 3MF scene. */
  instances: number;
  /** Corners of one polygon. */
  corners: number;
}

export const DEFAULT_LIMITS: ReadLimits = {
  bytes: 256 * 2 ** 20,
  triangles: 2_000_000,
  unpacked: 256 * 2 ** 20,
  ratio: 200,
  instances: 20_000,
  corners: 20_000,
};

export type Format = 'stl' | 'obj' | 'ply' | 'gltf' | '3mf';
export type FileUnit = 'um' | 'mm' | 'cm' | 'm' | 'in' | 'ft';

/** Triangles exactly as a file gives them, before any repair. */
export interface MeshReading {
  format: Format;
  /** Positions in the unit of the file, xyz after xyz; may hold NaN where the file does. */
  vertices: Float64Array;
  /** Three vertex numbers a triangle, every one inside `vertices`. */
  triangles: Uint32Array;
  /** Group number per triangle: OBJ group, glTF node, 3MF object, STL solid. */
  group: Int32Array;
  groupNames: string[];
  /** The unit the file or its format states, with who says so; undefined where nothing does. */
  unit?: { unit: FileUnit; saidBy: 'file' | 'format' | 'comment'; words: string };
  /** Faces the reader had to leave out. */
  dropped: Repair[];
  warnings: Problem[];
  /** The file looks cut short. Forgiven with a warning if the surface turns out closed, else the file is refused. */
  cutShort?: Problem;
}

export interface ReadContext {
  file: PartFile;
  limits: ReadLimits;
  watch: Watch;
}

export const tooManyTriangles = (count: number, limits: ReadLimits): Problem => ({
  code: 'too-many-triangles',
  path: '',
  message: `The file has ${count} triangles; the most that is read is ${limits.triangles}.`,
  hint: 'Export the part again with a coarser tolerance: 0.01 mm is finer than any deposit needs.',
});

export const cancelled: Problem = { code: 'cancelled', path: '', message: 'Reading was stopped.' };

/** Grows like an array, stays a typed array: memory is 8 bytes a number and known before it is asked for. */
export class Numbers {
  private store = new Float64Array(1024);
  length = 0;
  push(value: number): void {
    if (this.length === this.store.length) {
      const larger = new Float64Array(this.store.length * 2);
      larger.set(this.store);
      this.store = larger;
    }
    this.store[this.length++] = value;
  }
  /** The numbers so far, not a copy: valid until the next push. */
  view(): Float64Array {
    return this.store.subarray(0, this.length);
  }
  floats(): Float64Array {
    return this.store.slice(0, this.length);
  }
  indices(): Uint32Array {
    return Uint32Array.from(this.store.subarray(0, this.length));
  }
  integers(): Int32Array {
    return Int32Array.from(this.store.subarray(0, this.length));
  }
}
