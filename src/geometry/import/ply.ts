import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { cancelled, type MeshReading, Numbers, type ReadContext, tooManyTriangles } from './file.js';
import { type PlyElement, type PlyHeader, readPlyHeader } from './ply-header.js';
import { binarySource, type NumberSource, wordSource } from './ply-source.js';
import { triangulatePolygon } from './polygon.js';
import { unitInWords } from './unit.js';

/** PLY, ASCII and binary in either byte order, lists of any number type, polygons and triangle strips. */
export function readPly(context: ReadContext): Outcome<MeshReading> {
  const header = readPlyHeader(context.file.bytes);
  if (!header.ok) return header;
  const refusal = lacks(header.value);
  if (refusal) return refused(refusal);
  const { bytes } = context.file;
  const { format, start } = header.value;
  const source =
    format === 'ascii'
      ? wordSource(bytes, start)
      : binarySource(bytes, start, format === 'binary_little_endian');
  return new PlyBody(header.value, source, context).read();
}

const FACE_LISTS = new Set(['vertex_indices', 'vertex_index']);

function lacks(header: PlyHeader): Problem | undefined {
  const vertex = header.elements.find((e) => e.name === 'vertex');
  const missing = ['x', 'y', 'z'].filter(
    (axis) => !vertex?.properties.some((p) => p.name === axis && !p.count),
  );
  if (!vertex || vertex.count === 0 || missing.length)
    return {
      code: 'no-points',
      path: '',
      message: vertex?.count
        ? `The points of the PLY file lack ${missing.join(', ')}.`
        : 'The PLY file has no points.',
      hint: 'Export the part again as a PLY mesh.',
    };
  const surface = header.elements.find((e) => e.count > 0 && faceList(e));
  if (!surface)
    return {
      code: 'no-triangles',
      path: '',
      message: `The PLY file has ${vertex.count} points and no faces.`,
      hint: 'A cloud of points has no surface to plate: make a mesh from it first, then export that.',
    };
  return undefined;
}

const faceList = (element: PlyElement) =>
  element.name === 'face' || element.name === 'tristrips'
    ? element.properties.find((p) => p.count && FACE_LISTS.has(p.name))
    : undefined;

class PlyBody {
  private readonly vertices: Float64Array;
  private readonly triangles = new Numbers();
  private badIndex = 0;
  private commas = false;
  private steps = 0;
  /** Faces read before the points would know no coordinates; their corners wait. */
  private readonly waiting: number[][] = [];
  private pointsRead = 0;

  constructor(
    private readonly header: PlyHeader,
    private readonly source: NumberSource,
    private readonly context: ReadContext,
  ) {
    // A count that lies must not ask for memory: no more points than the bytes can hold.
    const element = header.elements.find((e) => e.name === 'vertex')!;
    this.vertices = new Float64Array(3 * Math.min(element.count, source.most));
  }

  read(): Outcome<MeshReading> {
    const { limits, watch } = this.context;
    let cutShort: Problem | undefined;
    for (const element of this.header.elements) {
      for (let i = 0; i < element.count; i++) {
        if ((++this.steps & 0x3fff) === 0) {
          if (watch.cancelled()) return refused(cancelled);
          watch.report(this.source.fraction(), `reading ${element.name}`);
        }
        if (!this.item(element, i)) {
          cutShort = {
            code: 'file-cut-short',
            path: '',
            message: `The file announces ${element.count} of "${element.name}" but stops after ${i}.`,
            hint: 'The file was probably cut off while it was copied or downloaded: fetch or export it again.',
          };
          break;
        }
        if (this.triangles.length > 3 * limits.triangles)
          return refused(tooManyTriangles(this.triangles.length / 3, limits));
      }
      if (element.name === 'vertex') this.placeWaiting();
      if (cutShort) break;
    }
    return this.finish(cutShort);
  }

  /** Reads one item of an element; false where the data ends. */
  private item(element: PlyElement, index: number): boolean {
    const wanted = faceList(element);
    for (const property of element.properties) {
      if (!property.count) {
        const value = this.source.next(property.type);
        if (value === undefined) return false;
        if (element.name === 'vertex') this.coordinate(property.name, index, value);
        continue;
      }
      const length = this.source.next(property.count);
      if (length === undefined || !(length >= 0) || length > this.source.most) return false;
      const corners: number[] = [];
      for (let k = 0; k < length; k++) {
        const value = this.source.next(property.type);
        if (value === undefined) return false;
        if (property === wanted) corners.push(value);
      }
      if (property !== wanted) continue;
      if (element.name === 'tristrips') this.strips(corners);
      else this.face(corners);
    }
    return true;
  }

  private coordinate(name: string, index: number, value: number): void {
    const axis = name === 'x' ? 0 : name === 'y' ? 1 : name === 'z' ? 2 : -1;
    if (axis < 0) return;
    if (!this.commas && this.source.comma?.()) this.commas = true;
    this.vertices[3 * index + axis] = value;
    if (axis === 2) this.pointsRead = index + 1;
  }

  private face(corners: number[]): void {
    if (this.pointsRead === 0) this.waiting.push(corners);
    else if (
      corners.length < 3 ||
      corners.length > this.context.limits.corners ||
      corners.some((c) => !Number.isInteger(c) || c < 0 || c >= this.pointsRead)
    )
      this.badIndex++;
    else for (const corner of triangulatePolygon(corners, this.vertices)) this.triangles.push(corner);
  }

  /** Triangle strips, several in one list, parted by -1. */
  private strips(list: number[]): void {
    let from = 0;
    for (let i = 0; i + 2 < list.length; i++) {
      if (list[i] === -1) {
        from = i + 1;
        continue;
      }
      const [a, b, c] = [list[i]!, list[i + 1]!, list[i + 2]!];
      if (b === -1 || c === -1 || a === b || b === c || a === c) continue;
      this.face((i - from) % 2 === 0 ? [a, b, c] : [b, a, c]);
    }
  }

  private placeWaiting(): void {
    for (const corners of this.waiting) if (this.pointsRead) this.face(corners);
    this.waiting.length = 0;
  }

  private finish(cutShort: Problem | undefined): Outcome<MeshReading> {
    const count = this.triangles.length / 3;
    if (count === 0)
      return refused(
        cutShort ?? {
          code: 'no-triangles',
          path: '',
          message: 'No face of the PLY file refers to points that exist.',
          hint: 'Export the part again as a PLY mesh.',
        },
      );
    const unit = unitInWords(this.header.comments);
    return done({
      format: 'ply',
      vertices: this.vertices.slice(0, 3 * this.pointsRead),
      triangles: this.triangles.indices(),
      group: new Int32Array(count),
      groupNames: ['part'],
      ...(unit && { unit }),
      dropped: this.badIndex ? [{ kind: 'bad-index-faces', count: this.badIndex }] : [],
      warnings: this.commas
        ? [{ code: 'decimal-comma', path: '', message: 'Numbers with a decimal comma were read so.' }]
        : [],
      ...(cutShort && { cutShort }),
    });
  }
}
