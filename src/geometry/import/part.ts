import { UNWATCHED, type Watch } from '../../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { boundsOf } from '../measure.js';
import { type Repair, type RepairedSurface, RepairLog, repairSurface } from '../repair/index.js';
import type { TriangleMesh } from '../surface.js';
import { detectFormat, singleByte } from './detect.js';
import {
  DEFAULT_LIMITS,
  type FileUnit,
  type Format,
  type MeshReading,
  type PartFile,
  type ReadContext,
  type ReadLimits,
} from './file.js';
import { readGltf } from './gltf.js';
import { readObj } from './obj.js';
import { readPly } from './ply.js';
import { readStl } from './stl.js';
import { readThreemf } from './threemf.js';
import { chooseUnit, type UnitChoice } from './unit.js';

export interface ImportOptions {
  /** The unit the person says the file is in; without it the file, its format or its size decides. */
  unit?: FileUnit;
  limits?: Partial<ReadLimits>;
  watch?: Watch;
}

/** A part ready for use: metres, repaired, wound outward. */
export interface ImportedPart {
  format: Format;
  mesh: TriangleMesh;
  /** Group (OBJ group, glTF node, 3MF object) and body per triangle. */
  group: Int32Array;
  groupNames: string[];
  body: Int32Array;
  bodies: number;
  cavities: number;
  /** Area of closed cavities [m2], counted in the area of the mesh but out of reach of a bath. */
  cavityArea: number;
  closed: boolean;
  repairs: Repair[];
  unit: UnitChoice;
}

/** Reads the triangles of a file as they are: file units, no repair. For surfaces that are meant as given. */
export async function readMesh(file: PartFile, options: ImportOptions = {}): Promise<Outcome<MeshReading>> {
  const limits = { ...DEFAULT_LIMITS, ...options.limits };
  if (file.bytes.length > limits.bytes)
    return refused({
      code: 'file-too-large',
      path: '',
      message: `The file has ${Math.round(file.bytes.length / 2 ** 20)} MiB; the most that is read is ${Math.round(limits.bytes / 2 ** 20)} MiB.`,
      hint: 'Export the part with a coarser tolerance: 0.01 mm is finer than any deposit needs.',
    });
  const plain = { ...file, bytes: singleByte(file.bytes) };
  const format = detectFormat(plain.name, plain.bytes);
  return format.ok
    ? READERS[format.value]({ file: plain, limits, watch: options.watch ?? UNWATCHED })
    : format;
}

const READERS: Record<
  Format,
  (context: ReadContext) => Outcome<MeshReading> | Promise<Outcome<MeshReading>>
> = {
  stl: readStl,
  obj: readObj,
  ply: readPly,
  gltf: readGltf,
  '3mf': readThreemf,
};

/** Reads, repairs and scales a part file. Problems are collected; a surface that stays open is a warning here. */
export async function importPart(
  file: PartFile,
  options: ImportOptions = {},
): Promise<Outcome<ImportedPart>> {
  const reading = await readMesh(file, options);
  if (!reading.ok) return reading;
  const { value } = reading;
  const log = new RepairLog();
  log.addAll(value.dropped);
  const repaired = repairSurface(value, halfOf(options.watch ?? UNWATCHED), log);
  if (!repaired.ok) return repaired;
  const surface = repaired.value;
  // A file that ends early is forgiven if nothing is missing from the surface.
  if (value.cutShort && !surface.closed) return refused(value.cutShort);
  const warnings = [...value.warnings, ...(value.cutShort ? [forgiven(value.cutShort)] : [])];
  const { min, max } = boundsOf(surface);
  const extent = Math.max(...max.map((x, k) => x - min[k]!));
  const unit = chooseUnit(extent, value.format, value.unit, options.unit);
  if (unit.problems.length) return refused(...unit.problems);
  const coarse = coarseNumbers(surface, extent);
  return done(
    {
      format: value.format,
      mesh: {
        vertices: surface.vertices.map((x) => x * unit.choice.metres),
        triangles: surface.triangles,
      },
      group: surface.group,
      groupNames: value.groupNames,
      body: surface.body,
      bodies: surface.bodies,
      cavities: surface.cavities,
      cavityArea: surface.cavityArea * unit.choice.metres ** 2,
      closed: surface.closed,
      repairs: surface.repairs,
      unit: unit.choice,
    },
    [...warnings, ...unit.warnings, ...(coarse ? [coarse] : []), ...surface.warnings],
  );
}

/** Reading is the first half of the work, repair the second. */
const halfOf = (watch: Watch): Watch => ({
  report: (fraction, stage) => watch.report(0.5 + fraction / 2, stage),
  cancelled: () => watch.cancelled(),
});

const forgiven = (problem: Problem): Problem => ({
  code: 'count-wrong',
  path: '',
  message: `${problem.message} The surface is closed nevertheless, so nothing seems to be missing.`,
});

/** Where coordinates are single-precision and far from the origin, their rounding is part of the shape. */
function coarseNumbers({ vertices }: RepairedSurface, extent: number): Problem | undefined {
  let largest = 0;
  for (const x of vertices) {
    if (x !== Math.fround(x)) return undefined;
    largest = Math.max(largest, Math.abs(x));
  }
  const step = 2 ** (Math.floor(Math.log2(largest)) - 23);
  if (!(step > 1e-4 * extent)) return undefined;
  return {
    code: 'coarse-coordinates',
    path: '',
    message: `The part lies far from the origin, so its points are rounded to ${Number(step.toPrecision(2))} on a size of ${Number(extent.toPrecision(3))} (file units); area and volume suffer.`,
    hint: 'Move the part to the origin in the program it was drawn in and export it again.',
  };
}

/** Reasons why a part cannot be put into a bath as a solid; empty if it can. */
export function unusableAsSolid(part: Pick<ImportedPart, 'closed'>, path = ''): Problem[] {
  if (part.closed) return [];
  return [
    {
      code: 'part-not-closed',
      path,
      message:
        'The surface of the part has holes, so it has no inside that could be kept apart from the bath.',
      hint: 'Close the surface in the program the part was drawn in ("make solid", "close holes") and export it again.',
    },
  ];
}
