import { strFromU8 } from 'fflate';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { Assembly } from './assembly.js';
import { type FileUnit, type MeshReading, type ReadContext, tooManyTriangles } from './file.js';
import { type Model, type ModelObject, type Placed, readModel } from './threemf-model.js';
import { metresPer, unitNamed } from './unit.js';
import { Archive } from './zip.js';

/**
 * 3MF: the build items of the root model, each an object or a tree of components, also across the several model parts
 * of the production extension. Supports are left out, beam lattices and other extensions that shape are told.
 */
export function readThreemf(context: ReadContext): Outcome<MeshReading> {
  const archive = Archive.open(context.file.bytes, context.limits);
  if (!archive.ok) return archive;
  const root = rootModelName(archive.value);
  if (!root) return refused(notThreemf(archive.value));
  const builder = new Builder(archive.value, root, context);
  return builder.build();
}

/** The start part by the package relationships (Open Packaging Conventions), else the customary place. */
function rootModelName(archive: Archive): string | undefined {
  const relations = archive.has('_rels/.rels') ? archive.read('_rels/.rels') : undefined;
  if (relations?.ok) {
    const text = strFromU8(relations.value);
    for (const [tag] of text.matchAll(/<Relationship\b[^>]*>/g)) {
      const target = /\bTarget\s*=\s*["']([^"']+)["']/.exec(tag)?.[1];
      if (
        target &&
        /3dmodel["']/.test(/\bType\s*=\s*["'][^"']*["']/.exec(tag)?.[0] ?? '') &&
        archive.has(target)
      )
        return target;
    }
  }
  const names = archive.files.map((f) => f.name);
  return names.find((n) => /^\/?3d\/3dmodel\.model$/i.test(n)) ?? names.find((n) => /\.model$/i.test(n));
}

function notThreemf(archive: Archive): Problem {
  const part = archive.files.find((f) => /\.(stl|obj|ply|glb|gltf|3mf)$/i.test(f.name));
  return part
    ? {
        code: 'archive-of-files',
        path: '',
        message: `The file is a plain ZIP archive that holds "${part.name.slice(0, 80)}".`,
        hint: 'Unpack it first and bring the part file itself.',
      }
    : {
        code: 'no-model',
        path: '',
        message: 'The archive holds no 3MF model.',
        hint: 'Bring a 3MF, STL, OBJ, PLY or GLB file.',
      };
}

class Builder {
  private readonly models = new Map<string, Outcome<Model>>();
  private readonly assembly: Assembly;
  private readonly warnings: Problem[] = [];
  private readonly told = new Set<string>();
  private problem: Problem | undefined;

  constructor(
    private readonly archive: Archive,
    private readonly root: string,
    private readonly context: ReadContext,
  ) {
    this.assembly = new Assembly(context.limits);
  }

  build(): Outcome<MeshReading> {
    const model = this.model(this.root);
    if (!model.ok) return model;
    const unit = unitNamed(model.value.unit);
    if (!unit)
      return refused({
        code: 'unit-unknown',
        path: '',
        message: `The 3MF file states the unit "${model.value.unit.slice(0, 40)}", which 3MF does not have.`,
        hint: 'Export the part again in millimetres.',
      });
    for (const uri of model.value.unknown)
      this.tell(
        'extension-ignored',
        `The file asks for the 3MF extension ${uri.slice(0, 120)}, which is not read.`,
      );
    for (const item of model.value.items) {
      this.place(item, this.root, unit, [], []);
      if (this.problem) return refused(this.problem);
    }
    return this.finish(model.value, unit);
  }

  private model(name: string): Outcome<Model> {
    const key = name.replace(/^\/+/, '').toLowerCase();
    const known = this.models.get(key);
    if (known) return known;
    const bytes = this.archive.read(name);
    const model = bytes.ok ? readModel(bytes.value, this.context.limits, this.context.watch) : bytes;
    this.models.set(key, model);
    return model;
  }

  /** Adds one reference and what hangs below it; `outer` holds the transforms around it, innermost first. */
  private place(ref: Placed, file: string, unit: FileUnit, outer: Float64Array[], trail: string[]): void {
    const home = ref.path ?? file;
    const model = this.model(home);
    if (!model.ok) {
      this.problem ??= model.problems[0]!;
      return;
    }
    const key = `${home}#${ref.id}`;
    const object = model.value.objects.get(ref.id);
    if (!object) {
      this.tell('object-missing', `The build names object ${ref.id.slice(0, 40)}, which does not exist.`);
      return;
    }
    if (trail.includes(key) || trail.length > 64) {
      this.problem ??= {
        code: 'objects-in-a-circle',
        path: '',
        message: `Object "${object.name.slice(0, 60)}" contains itself.`,
        hint: 'Export the part again.',
      };
      return;
    }
    if (object.type === 'support' || object.type === 'solidsupport') {
      this.tell('supports-left-out', 'Support structures in the file were left out.');
      return;
    }
    for (const what of object.beyond)
      this.tell(
        'shape-not-read',
        `Object "${object.name.slice(0, 60)}" has a ${what}, which is not read; only its triangles count.`,
      );
    const transforms = [ref.transform, ...outer];
    this.problem ??= this.assembly.countInstance();
    if (this.problem) return;
    this.addMesh(object, transforms, metresPer(this.unitOf(model.value, unit)) / metresPer(unit));
    for (const component of object.components) {
      if (this.problem) return;
      this.place(component, home, unit, transforms, [...trail, key]);
    }
  }

  private unitOf = (model: Model, fallback: FileUnit): FileUnit => unitNamed(model.unit) ?? fallback;

  private addMesh(object: ModelObject, transforms: Float64Array[], scale: number): void {
    if (object.triangles.length === 0) return;
    const vertices = Float64Array.from(object.vertices.view());
    if (scale !== 1) for (let i = 0; i < vertices.length; i++) vertices[i]! *= scale;
    let mirrored = false;
    for (const m of transforms) {
      applyTransform(vertices, m);
      if (determinant(m) < 0) mirrored = !mirrored;
    }
    this.problem ??= this.assembly.add(vertices, object.triangles.view(), object.name, mirrored);
  }

  private finish(model: Model, unit: FileUnit): Outcome<MeshReading> {
    const badNumbers = [...this.models.values()].reduce((sum, m) => sum + (m.ok ? m.value.badNumbers : 0), 0);
    if (badNumbers) this.tell('unreadable-numbers', `${badNumbers} numbers of the model could not be read.`);
    if (this.assembly.triangleCount === 0) {
      const lattice = this.warnings.find((w) => w.code === 'shape-not-read');
      return refused({
        code: 'no-triangles',
        path: '',
        message: lattice
          ? `The 3MF file has no triangles. ${lattice.message}`
          : `The 3MF file places ${model.items.length} items, and none has triangles.`,
        hint: 'Export the part as a plain mesh (triangles).',
      });
    }
    if (this.assembly.triangleCount > this.context.limits.triangles)
      return refused(tooManyTriangles(this.assembly.triangleCount, this.context.limits));
    return done({
      format: '3mf',
      ...this.assembly.result(),
      unit: { unit, saidBy: 'file', words: `The 3MF file states its unit: ${model.unit}` },
      warnings: this.warnings,
    });
  }

  private tell(code: string, message: string): void {
    if (this.told.has(message) || this.warnings.length > 50) return;
    this.told.add(message);
    this.warnings.push({ code, path: '', message });
  }
}

/** Row vectors times a 4 x 3 matrix, as 3MF writes it: m00 m01 m02 m10 ... m32. */
function applyTransform(vertices: Float64Array, m: Float64Array): void {
  for (let i = 0; i < vertices.length; i += 3) {
    const [x, y, z] = [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!];
    for (let k = 0; k < 3; k++) vertices[i + k] = x * m[k]! + y * m[3 + k]! + z * m[6 + k]! + m[9 + k]!;
  }
}

const determinant = (m: Float64Array): number =>
  m[0]! * (m[4]! * m[8]! - m[5]! * m[7]!) -
  m[1]! * (m[3]! * m[8]! - m[5]! * m[6]!) +
  m[2]! * (m[3]! * m[7]! - m[4]! * m[6]!);
