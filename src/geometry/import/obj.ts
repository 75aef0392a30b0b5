import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { cancelled, type MeshReading, Numbers, type ReadContext, tooManyTriangles } from './file.js';
import { triangulatePolygon } from './polygon.js';
import { isBlank, isLineEnd, numberAt, Words } from './text.js';
import { unitInWords } from './unit.js';

/**
 * Wavefront OBJ: `v` and `f` with positive or negative numbers, polygons of any number of corners, continued lines.
 * Groups keep their names, because a case for the field solver names one patch per group: `g` where the file has any,
 * else `o`, else `usemtl`. Curves, points and lines are left out.
 */
export function readObj({ file, limits, watch }: ReadContext): Outcome<MeshReading> {
  const { bytes } = file;
  const state = new ObjState();
  const words = new Words(bytes);
  let lines = 0;
  while (words.offset < bytes.length) {
    if ((++lines & 0xffff) === 0) {
      if (watch.cancelled()) return refused(cancelled);
      watch.report(words.offset / bytes.length, 'reading faces');
    }
    if (nextWord(words)) {
      if (words.is('v')) state.vertex(words);
      else if (words.is('f') || words.is('fo')) state.face(words, limits.corners);
      else if (words.is('g') || words.is('o') || words.is('usemtl')) state.open(words);
      else if (bytes[words.start] === 35) state.comment(words.restOfLine());
      else if (words.is('surf') || words.is('curv') || words.is('curv2')) state.curved++;
    }
    skipLine(words);
    if (state.triangles.length > 3 * limits.triangles)
      return refused(tooManyTriangles(state.triangles.length / 3, limits));
  }
  return state.finish();
}

/** A word on this line, across `\` at a line's end. */
function nextWord(words: Words): boolean {
  while (words.next(true)) {
    if (!(words.end - words.start === 1 && words.bytes[words.start] === 92)) return true;
    let i = words.end;
    while (i < words.bytes.length && isBlank(words.bytes[i]!) && !isLineEnd(words.bytes[i]!)) i++;
    if (words.bytes[i] === 13 && words.bytes[i + 1] === 10) i++;
    words.offset = Math.min(i + 1, words.bytes.length);
  }
  return false;
}

function skipLine(words: Words): void {
  const { bytes } = words;
  let i = words.offset;
  while (i < bytes.length && !isLineEnd(bytes[i]!)) i++;
  words.offset = Math.min(i + 1, bytes.length);
}

class ObjState {
  readonly vertices = new Numbers();
  readonly triangles = new Numbers();
  curved = 0;
  private readonly named = { g: new Groups(), o: new Groups(), usemtl: new Groups() };
  private readonly kinds = Object.values(this.named);
  private readonly waiting: { corners: number[]; groups: number[] }[] = [];
  private badNumbers = 0;
  private commas = 0;
  private badIndex = 0;
  private tooManyCorners = 0;
  private faces = 0;
  private comments = '';

  vertex(words: Words): void {
    let found = 0;
    while (found < 3 && nextWord(words)) {
      for (let i = words.start; i < words.end; i++) if (words.bytes[i] === 44) this.commas++;
      const value = words.number();
      if (!Number.isFinite(value)) this.badNumbers++;
      this.vertices.push(value);
      found++;
    }
    for (; found < 3; found++) {
      this.badNumbers++;
      this.vertices.push(Number.NaN);
    }
  }

  open(words: Words): void {
    const kind = words.is('g') ? 'g' : words.is('o') ? 'o' : 'usemtl';
    const name = nextWord(words) ? words.text().slice(0, 200) : 'default';
    this.named[kind].open(name);
  }

  face(words: Words, mostCorners: number): void {
    this.faces++;
    const count = this.vertices.length / 3;
    const corners: number[] = [];
    let bad = false;
    while (nextWord(words)) {
      let end = words.start;
      while (end < words.end && words.bytes[end] !== 47) end++;
      const index = numberAt(words.bytes, words.start, end);
      const vertex = index < 0 ? count + index : index - 1;
      if (!Number.isInteger(vertex) || vertex < 0 || vertex > 0xfffffffe) bad = true;
      else corners.push(vertex);
      if (corners.length > mostCorners) {
        this.tooManyCorners++;
        return;
      }
    }
    if (bad || corners.length < 3) this.badIndex++;
    else if (corners.every((c) => c < count)) this.emit(corners);
    else this.waiting.push({ corners, groups: this.kinds.map((groups) => groups.now()) });
  }

  private emit(corners: number[], groups = this.kinds.map((kind) => kind.now())): void {
    const cut = triangulatePolygon(corners, this.vertices.view());
    for (let i = 0; i < cut.length; i++) {
      this.triangles.push(cut[i]!);
      if (i % 3 === 0) for (let k = 0; k < 3; k++) this.kinds[k]!.perTriangle.push(groups[k]!);
    }
  }

  /** Faces that named points listed after them. */
  private placeWaiting(): void {
    const count = this.vertices.length / 3;
    for (const { corners, groups } of this.waiting)
      if (corners.every((c) => c < count)) this.emit(corners, groups);
      else this.badIndex++;
  }

  comment(text: string): void {
    if (this.comments.length < 10_000) this.comments += ` ${text}\n`;
  }

  finish(): Outcome<MeshReading> {
    this.placeWaiting();
    const warnings: Problem[] = [];
    const warn = (count: number, code: string, message: string): void => {
      if (count) warnings.push({ code, path: '', message });
    };
    warn(
      this.commas,
      'decimal-comma',
      `${this.commas} numbers are written with a decimal comma and were read so.`,
    );
    warn(this.badNumbers, 'unreadable-numbers', `${this.badNumbers} coordinates are not numbers.`);
    warn(
      this.curved,
      'curved-surfaces-ignored',
      `${this.curved} free-form curves or surfaces were left out.`,
    );
    const dropped = [
      { kind: 'bad-index-faces', count: this.badIndex },
      { kind: 'oversized-polygons', count: this.tooManyCorners },
    ].filter((r) => r.count > 0);
    if (this.triangles.length === 0)
      return refused({
        code: 'no-triangles',
        path: '',
        message: this.faces
          ? `None of the ${this.faces} faces of the OBJ file refers to points that exist.`
          : `The OBJ file has ${this.vertices.length / 3} points and no faces.`,
        hint: 'Export the part as a surface (mesh), not as points or curves.',
      });
    const { g, o, usemtl } = this.named;
    const groups = g.used ? g : o.used ? o : usemtl;
    const unit = unitInWords(this.comments);
    return done({
      format: 'obj',
      vertices: this.vertices.floats(),
      triangles: this.triangles.indices(),
      group: groups.perTriangle.integers(),
      groupNames: groups.names,
      ...(unit && { unit }),
      dropped,
      warnings,
    });
  }
}

/** The groups opened by one kind of line, and the one each triangle fell into. */
class Groups {
  readonly names: string[] = [];
  readonly perTriangle = new Numbers();
  private readonly numbers = new Map<string, number>();
  private current = -1;
  get used(): boolean {
    return this.numbers.size > 0;
  }
  open(name: string): void {
    let number = this.numbers.get(name);
    if (number === undefined) {
      number = this.names.length;
      this.names.push(name);
      this.numbers.set(name, number);
    }
    this.current = number;
  }
  /** The open group; `default` for faces before the first named one. */
  now(): number {
    if (this.current < 0) {
      this.current = this.names.length;
      this.names.push('default');
    }
    return this.current;
  }
}
