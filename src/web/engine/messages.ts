import type { BathWords, DrawnBody, Forecast, JobDocument, PartMap } from '../../job/index.js';
import type { LibraryFile } from '../../library/index.js';
import type { Problem } from '../../units/index.js';
import type { SceneContent } from '../scene/index.js';

/** What page and worker say to each other. Buffers are handed over, not copied. */

/** A part file as the bench book has it. */
export interface PartSource {
  /** The name the job document calls it by. */
  name: string;
  bytes: ArrayBuffer;
  unit?: 'mm' | 'cm' | 'm' | 'in';
}

/** What reading a part file found. SI units. */
export interface PartReport {
  triangles: number;
  area: number;
  volume: number;
  size: [number, number, number];
  closed: boolean;
  bodies: number;
  repairs: { kind: string; count: number }[];
  unit: { unit: string; reason: string; saidBy: string };
  warnings: Problem[];
}

export type Quality = 'draft' | 'standard' | 'fine';

export interface ForecastAnswer {
  forecast: Forecast;
  map: PartMap;
  bodies: DrawnBody[];
  /** The bath in words, for the card. */
  bath: BathWords;
  /** False while the bands are still being made. */
  banded: boolean;
}

export type Request =
  | { id: number; ask: 'library'; files: LibraryFile[] }
  | { id: number; ask: 'read'; part: PartSource }
  | { id: number; ask: 'preview'; job: JobDocument; parts: PartSource[] }
  | {
      id: number;
      ask: 'forecast';
      job: JobDocument;
      parts: PartSource[];
      quality: Quality;
      /** Whether to make the bands too. */
      bands: boolean;
      /** One byte shared with the page: 1 means stop. Absent where memory cannot be shared. */
      stop?: SharedArrayBuffer;
    };

export type Answer =
  | { id: number; say: 'progress'; fraction: number; stage: string }
  | { id: number; say: 'done'; value: unknown; warnings: Problem[] }
  | { id: number; say: 'refused'; problems: Problem[] }
  | { id: number; say: 'bug'; message: string };

/** What a preview holds: the set-up as it stands, before anything is solved. */
export interface Preview {
  scene: SceneContent;
  /** Bounds of the part in the vessel [m]. */
  partSize: [number, number, number];
}
