import { type Accessor, type JSONDocument, Logger, Verbosity, WebIO } from '@gltf-transform/core';
import {
  EXTMeshoptCompression,
  KHRDracoMeshCompression,
  KHRMeshQuantization,
} from '@gltf-transform/extensions';
import { MeshoptDecoder } from 'meshoptimizer/decoder';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { Assembly } from './assembly.js';
import type { MeshReading, ReadContext } from './file.js';
import { loadBuffers } from './gltf-buffers.js';
import { entry, isObject, type Json, openGltf } from './gltf-container.js';
import { compose, type Matrix, multiply, type PlacedMesh, placedMeshes, turnsLeft } from './gltf-nodes.js';
import { GltfPick } from './gltf-pick.js';

/**
 * GLB and glTF 2.0: nodes with transforms, instances, quantised, sparse, Draco- and meshopt-packed meshes.
 * The scene is walked here, exactly (a decomposed matrix would lose shear); the library decodes the accessors.
 */
export async function readGltf(context: ReadContext): Promise<Outcome<MeshReading>> {
  const { file, limits, watch } = context;
  const container = openGltf(file.bytes);
  if (!container.ok) return container;
  const { json, binary } = container.value;
  const refusal = unreadable(json);
  if (refusal) return refused(refusal);
  const placed = placedMeshes(json);
  if (!placed.ok) return placed;
  const dracoRequired = required(json).includes('KHR_draco_mesh_compression');
  if (dracoRequired && !file.draco)
    return refused(notSupported('The file is packed with Draco, which cannot be unpacked here.'));
  const pick = new GltfPick(json, limits, file.draco !== undefined);
  const shapes = new SceneShapes(json, pick);
  for (const mesh of placed.value) shapes.want(mesh);
  if (pick.problem) return refused(pick.problem);
  if (shapes.primitives === 0) return refused(nothing(json, placed.value.length));
  const buffers = await loadBuffers(pick.buffers, binary, file, limits);
  if (!buffers.ok) return buffers;
  watch.report(0.3, 'unpacking meshes');
  const accessors = await decode(pick, buffers.value, file.draco);
  if (!accessors.ok) return accessors;
  const assembly = new Assembly(limits);
  for (const [i, mesh] of placed.value.entries()) {
    if (watch.cancelled()) return refused({ code: 'cancelled', path: '', message: 'Reading was stopped.' });
    if ((i & 63) === 0) watch.report(0.5 + (0.5 * i) / placed.value.length, 'placing meshes');
    const problem = shapes.place(mesh, accessors.value, assembly);
    if (problem) return refused(problem);
  }
  if (assembly.triangleCount === 0) return refused(nothing(json, placed.value.length));
  return done({
    format: 'gltf',
    ...assembly.result(),
    unit: { unit: 'm', saidBy: 'format', words: 'glTF files are in metres by their standard' },
    warnings: shapes.warnings(placed.value),
  });
}

/** Extensions that colour, light or animate; the shape does not depend on them. */
const HARMLESS =
  /^(KHR_materials_|KHR_texture_|EXT_texture_|KHR_lights_|EXT_lights_|KHR_xmp|KHR_animation|MSFT_|FB_)/;
const READ = [
  'KHR_draco_mesh_compression',
  'EXT_meshopt_compression',
  'KHR_mesh_quantization',
  'EXT_mesh_gpu_instancing',
];

const required = (json: Json): string[] =>
  Array.isArray(json.extensionsRequired) ? json.extensionsRequired.map(String) : [];

function unreadable(json: Json): Problem | undefined {
  const unknown = required(json).find((name) => !READ.includes(name) && !HARMLESS.test(name));
  return unknown === undefined
    ? undefined
    : notSupported(`The file requires the glTF extension "${unknown.slice(0, 60)}", which is not read.`);
}

const notSupported = (message: string): Problem => ({
  code: 'extension-not-read',
  path: '',
  message,
  hint: 'Export the part as plain GLB without compression, or as STL.',
});

const nothing = (json: Json, placed: number): Problem => ({
  code: 'no-triangles',
  path: '',
  message: placed
    ? 'The meshes of the glTF file have no triangles.'
    : `The scene of the glTF file shows no mesh${Array.isArray(json.meshes) ? ` (${json.meshes.length} are stored)` : ''}.`,
  hint: 'Export the part again; check that the body was selected.',
});

/** Has the library decode the picked accessors. Whatever it throws on is damage in the file: all counts were checked. */
async function decode(
  pick: GltfPick,
  buffers: Uint8Array[],
  draco: (() => Promise<unknown>) | undefined,
): Promise<Outcome<Accessor[]>> {
  const uris = buffers.map((_, i) => `buffer-${i}.bin`);
  const io = new WebIO()
    .setLogger(new Logger(Verbosity.SILENT))
    .registerExtensions([KHRDracoMeshCompression, EXTMeshoptCompression, KHRMeshQuantization]);
  try {
    await MeshoptDecoder.ready;
    io.registerDependencies({ 'meshopt.decoder': MeshoptDecoder });
    if (pick.draco && draco) io.registerDependencies({ 'draco3d.decoder': await draco() });
    const resources = Object.fromEntries(buffers.map((bytes, i) => [uris[i]!, bytes]));
    const document = await io.readJSON({ json: pick.result(uris), resources } as unknown as JSONDocument);
    return done(document.getRoot().listAccessors());
  } catch (error) {
    return refused({
      code: 'gltf-inconsistent',
      path: '',
      message: `The meshes of the glTF file cannot be unpacked (${String((error as Error)?.message ?? error).slice(0, 120)}).`,
      hint: 'The file is damaged: copy or export it again.',
    });
  }
}

interface Shape {
  position: number;
  indices?: number;
  mode: number;
}

/** The triangles each mesh of the scene consists of, read once however often the mesh is placed. */
class SceneShapes {
  primitives = 0;
  private readonly shapes = new Map<number, Shape[]>();
  private readonly instanceData = new Map<PlacedMesh, { t?: number; r?: number; s?: number }>();
  private skipped = 0;
  private morphed = 0;

  constructor(
    private readonly json: Json,
    private readonly pick: GltfPick,
  ) {}

  want(placed: PlacedMesh): void {
    if (placed.instances) this.wantInstances(placed, placed.instances);
    if (this.shapes.has(placed.mesh)) return;
    const list = entry(this.json, 'meshes', placed.mesh)?.primitives;
    const shapes: Shape[] = [];
    for (const primitive of Array.isArray(list) ? list : []) {
      if (!isObject(primitive)) continue;
      const mode = primitive.mode === undefined ? 4 : Number(primitive.mode);
      if (Array.isArray(primitive.targets) && primitive.targets.length) this.morphed++;
      const picked = mode >= 4 && mode <= 6 ? this.pick.primitive(primitive) : undefined;
      if (picked) shapes.push({ ...picked, mode });
      else this.skipped++;
    }
    this.primitives += shapes.length;
    this.shapes.set(placed.mesh, shapes);
  }

  private wantInstances(placed: PlacedMesh, attributes: Json): void {
    const get = (name: string, type: string): number | undefined =>
      attributes[name] === undefined ? undefined : this.pick.accessor(attributes[name], false, type);
    const [t, r, s] = [get('TRANSLATION', 'VEC3'), get('ROTATION', 'VEC4'), get('SCALE', 'VEC3')];
    this.instanceData.set(placed, {
      ...(t !== undefined && { t }),
      ...(r !== undefined && { r }),
      ...(s !== undefined && { s }),
    });
  }

  place(placed: PlacedMesh, accessors: Accessor[], assembly: Assembly): Problem | undefined {
    for (const matrix of this.matrices(placed, accessors)) {
      const problem = assembly.countInstance();
      if (problem) return problem;
      for (const shape of this.shapes.get(placed.mesh)!) {
        const vertices = positions(accessors[shape.position]!, matrix);
        const indices = shape.indices === undefined ? undefined : accessors[shape.indices]!.getArray();
        const list = asTriangles(indices ?? sequence(vertices.length / 3), shape.mode);
        const trouble = assembly.add(vertices, list, placed.name, turnsLeft(matrix));
        if (trouble) return trouble;
      }
    }
    return undefined;
  }

  private *matrices(placed: PlacedMesh, accessors: Accessor[]): Iterable<Matrix> {
    const data = this.instanceData.get(placed);
    const of = (index: number | undefined) => (index === undefined ? undefined : accessors[index]);
    const [t, r, s] = [of(data?.t), of(data?.r), of(data?.s)];
    const first = t ?? r ?? s;
    if (!first) return yield placed.matrix;
    for (let i = 0; i < first.getCount(); i++) {
      const at = (a: Accessor | undefined, otherwise: number[]): number[] =>
        a && i < a.getCount() ? a.getElement(i, []) : otherwise;
      yield multiply(placed.matrix, compose(at(t, [0, 0, 0]), at(r, [0, 0, 0, 1]), at(s, [1, 1, 1])));
    }
  }

  warnings(placed: PlacedMesh[]): Problem[] {
    const warnings: Problem[] = [];
    const tell = (count: number, code: string, message: string): void => {
      if (count) warnings.push({ code, path: '', message });
    };
    tell(this.skipped, 'not-triangles', `${this.skipped} meshes are points or lines and were left out.`);
    tell(
      this.morphed,
      'morphs-ignored',
      'Shape variations (morph targets) were left out; the base shape counts.',
    );
    tell(
      placed.filter((p) => p.skinned).length,
      'skin-ignored',
      'The mesh is bent by a skeleton; its rest shape was read, which may have another size than shown elsewhere.',
    );
    return warnings;
  }
}

const sequence = (count: number): Uint32Array => Uint32Array.from({ length: count }, (_, i) => i);

function positions(accessor: Accessor, m: Matrix): Float64Array {
  const count = Math.floor(accessor.getCount());
  const out = new Float64Array(3 * count);
  const p: number[] = [];
  for (let i = 0; i < count; i++) {
    const [x, y, z] = accessor.getElement(i, p) as [number, number, number];
    for (let k = 0; k < 3; k++) out[3 * i + k] = m[k]! * x + m[4 + k]! * y + m[8 + k]! * z + m[12 + k]!;
  }
  return out;
}

/** Strips and fans spelled out as triangles. */
function asTriangles(indices: ArrayLike<number>, mode: number): ArrayLike<number> {
  if (mode === 4) return indices;
  const out: number[] = [];
  for (let i = 0; i + 2 < indices.length; i++)
    if (mode === 6) out.push(indices[0]!, indices[i + 1]!, indices[i + 2]!);
    else if (i % 2 === 0) out.push(indices[i]!, indices[i + 1]!, indices[i + 2]!);
    else out.push(indices[i + 1]!, indices[i]!, indices[i + 2]!);
  return out;
}
