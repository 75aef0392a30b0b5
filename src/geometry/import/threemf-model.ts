import { DecodeUTF8 } from 'fflate';
import { SaxesParser, type SaxesTagNS } from 'saxes';
import type { Watch } from '../../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { cancelled, Numbers, type ReadLimits } from './file.js';

/** One object of a model: a mesh, or placed copies of other objects. */
export interface ModelObject {
  name: string;
  type: string;
  vertices: Numbers;
  triangles: Numbers;
  components: Placed[];
  /** Extensions that shape the object in ways that are not read, e.g. `beamlattice`. */
  beyond: Set<string>;
}

/** A reference to an object with a transform: twelve numbers, rows of a 4 x 3 matrix, points multiply from the left. */
export interface Placed {
  id: string;
  /** Model file that holds the object; undefined for the same file. */
  path?: string;
  transform: Float64Array;
}

export interface Model {
  unit: string;
  objects: Map<string, ModelObject>;
  items: Placed[];
  /** Extensions the file says a reader must know and this one does not. */
  unknown: string[];
  /** Coordinates or numbers that are none. */
  badNumbers: number;
}

const CORE = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
const PRODUCTION = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';
/** Extensions that only colour, slice or organise, so that a reader of shapes may pass over them. */
const HARMLESS = [CORE, PRODUCTION, 'material/2015/02', 'slice/2015/07', 'trianglesets/2021/07'];
/** Elements of other namespaces that change the shape. */
const SHAPING = new Set([
  'beamlattice',
  'booleanshape',
  'displacementmesh',
  'volumetricstack',
  'levelset',
  'implicitfunction',
]);

const IDENTITY = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0);
const CHUNK = 1 << 16;

/**
 * Reads one `.model` part of a 3MF package as a stream of tags; what is not geometry is never stored.
 * Document types and entities do not belong into 3MF (core specification, 2.3.3 from memory) and are refused, so that
 * nothing can expand.
 */
export function readModel(bytes: Uint8Array, limits: ReadLimits, watch: Watch): Outcome<Model> {
  const reader = new ModelReader(limits);
  const text = new DecodeUTF8((chunk) => reader.write(chunk));
  try {
    for (let at = 0; at < bytes.length && !reader.problem; at += CHUNK) {
      if (watch.cancelled()) return refused(cancelled);
      watch.report(at / bytes.length, 'reading the model');
      text.push(bytes.subarray(at, at + CHUNK), at + CHUNK >= bytes.length);
    }
    if (!reader.problem) reader.close();
  } catch (error) {
    // fflate throws on bytes that are no UTF-8, saxes where it is told to stop.
    reader.problem ??= notXml((error as Error).message);
  }
  return reader.problem ? refused(reader.problem) : done(reader.model);
}

class ModelReader {
  readonly model: Model = { unit: 'millimeter', objects: new Map(), items: [], unknown: [], badNumbers: 0 };
  problem: Problem | undefined;
  private readonly parser = new SaxesParser({ xmlns: true, position: false });
  private readonly open: string[] = [];
  private object: ModelObject | undefined;
  private triangles = 0;

  constructor(private readonly limits: ReadLimits) {
    this.parser.on('error', (error) => this.fail(notXml(error.message)));
    this.parser.on('doctype', () =>
      this.fail({
        code: 'doctype-refused',
        path: '',
        message: 'The model holds a document type declaration, which a 3MF file must not have.',
        hint: 'Export the part again; a file made by a CAD program has none.',
      }),
    );
    this.parser.on('opentag', (tag) => this.start(tag));
    this.parser.on('closetag', (tag) => {
      this.open.pop();
      if (tag.local === 'object' && tag.uri === CORE) this.object = undefined;
    });
  }

  write(chunk: string): void {
    if (!this.problem) this.parser.write(chunk);
  }

  close(): void {
    this.parser.close();
  }

  private fail(problem: Problem): void {
    this.problem ??= problem;
    throw new Error(problem.code);
  }

  private start(tag: SaxesTagNS): void {
    const parent = this.open.at(-1) ?? '';
    if (this.open.length > 200) this.fail(notXml('its elements are nested too deeply'));
    this.open.push(tag.uri === CORE || tag.uri === '' ? tag.local : `other:${tag.local}`);
    if (tag.uri !== CORE && tag.uri !== '') {
      if (SHAPING.has(tag.local)) this.object?.beyond.add(tag.local);
      return;
    }
    const attribute = (name: string): string | undefined => tag.attributes[name]?.value;
    switch (tag.local) {
      case 'model':
        this.startModel(tag);
        return;
      case 'object':
        this.startObject(attribute);
        return;
      case 'vertex':
        if (this.object && parent === 'vertices')
          for (const axis of ['x', 'y', 'z']) this.object.vertices.push(this.number(attribute(axis)));
        return;
      case 'triangle':
        if (this.object && parent === 'triangles') {
          if (++this.triangles > this.limits.triangles)
            this.fail({
              code: 'too-many-triangles',
              path: '',
              message: `The file has more than ${this.limits.triangles} triangles.`,
              hint: 'Export the part again with a coarser tolerance.',
            });
          for (const v of ['v1', 'v2', 'v3']) this.object.triangles.push(this.number(attribute(v)));
        }
        return;
      case 'component':
        this.object?.components.push(this.placed(tag));
        return;
      case 'item':
        if (parent === 'build') this.model.items.push(this.placed(tag));
    }
  }

  private startModel(tag: SaxesTagNS): void {
    this.model.unit = tag.attributes.unit?.value ?? 'millimeter';
    for (const prefix of (tag.attributes.requiredextensions?.value ?? '').split(/\s+/).filter(Boolean)) {
      const uri = tag.ns?.[prefix] ?? prefix;
      if (!HARMLESS.some((known) => uri === known || uri.endsWith(known))) this.model.unknown.push(uri);
    }
  }

  private startObject(attribute: (name: string) => string | undefined): void {
    const id = attribute('id') ?? '';
    this.object = {
      name: (attribute('name') || `object ${id}`).slice(0, 200),
      type: attribute('type') ?? 'model',
      vertices: new Numbers(),
      triangles: new Numbers(),
      components: [],
      beyond: new Set(),
    };
    this.model.objects.set(id, this.object);
    if (this.model.objects.size > this.limits.instances)
      this.fail({
        code: 'too-many-objects',
        path: '',
        message: `The file has more than ${this.limits.instances} objects.`,
      });
  }

  private placed(tag: SaxesTagNS): Placed {
    const values = Object.values(tag.attributes);
    const path = values.find((a) => a.local === 'path' && a.uri === PRODUCTION)?.value;
    const written = tag.attributes.transform?.value;
    const numbers = written
      ?.trim()
      .split(/\s+/)
      .map((n) => this.number(n));
    const transform = numbers?.length === 12 ? Float64Array.from(numbers) : IDENTITY;
    if (numbers && numbers.length !== 12) this.model.badNumbers++;
    return { id: tag.attributes.objectid?.value ?? '', transform, ...(path && { path }) };
  }

  private number(text: string | undefined): number {
    const value = text === undefined || text.trim() === '' || /x/i.test(text) ? Number.NaN : Number(text);
    if (!Number.isFinite(value)) this.model.badNumbers++;
    return value;
  }
}

const notXml = (why: string): Problem => ({
  code: 'model-unreadable',
  path: '',
  message: `The model inside the 3MF file is not sound XML: ${why.slice(0, 200).replace(/\.$/, '')}.`,
  hint: 'Copy or export the file again.',
});
