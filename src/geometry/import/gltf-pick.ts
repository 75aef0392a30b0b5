import type { Problem } from '../../units/index.js';
import type { ReadLimits } from './file.js';
import { entry, isObject, type Json, whole } from './gltf-container.js';

/**
 * Copies out of a glTF file only what the shape needs (positions and indices of the meshes that are placed) into a small
 * glTF of its own, checking every number on the way. The library that decodes it afterwards then never meets a count,
 * offset or reference that lies: it would allocate or fail on these.
 */
export class GltfPick {
  readonly accessors: Json[] = [];
  private readonly views: Json[] = [];
  readonly buffers: Json[] = [];
  private readonly meshes: Json[] = [];
  private readonly renumbered = {
    accessors: new Map<number, number>(),
    bufferViews: new Map<number, number>(),
    buffers: new Map<number, number>(),
  };
  /** First thing found wrong; the pick is then unusable. */
  problem: Problem | undefined;
  draco = false;
  private bytes = 0;

  constructor(
    private readonly json: Json,
    private readonly limits: ReadLimits,
    private readonly withDraco: boolean,
  ) {}

  /** The reduced file; `uris` name the resources of the buffers, in order. */
  result(uris: (string | undefined)[]): Json {
    const used = ['KHR_mesh_quantization', 'EXT_meshopt_compression'];
    if (this.draco) used.push('KHR_draco_mesh_compression');
    return {
      asset: { version: '2.0' },
      extensionsUsed: used,
      extensionsRequired: used,
      accessors: this.accessors,
      bufferViews: this.views,
      buffers: this.buffers.map((source, i) => ({
        byteLength: source.byteLength,
        ...(uris[i] !== undefined && { uri: uris[i] }),
      })),
      meshes: this.meshes,
    };
  }

  /** Adds one primitive; gives the new accessor numbers of its positions and indices. */
  primitive(primitive: Json): { position: number; indices?: number } | undefined {
    const attributes = primitive.attributes;
    if (!isObject(attributes) || attributes.POSITION === undefined) return undefined;
    const extension = isObject(primitive.extensions)
      ? primitive.extensions.KHR_draco_mesh_compression
      : undefined;
    const draco =
      this.withDraco && isObject(extension) && isObject(extension.attributes) ? extension : undefined;
    const position = this.accessor(attributes.POSITION, draco !== undefined, 'VEC3');
    const indices =
      primitive.indices === undefined
        ? undefined
        : this.accessor(primitive.indices, draco !== undefined, 'SCALAR');
    if (this.problem || position === undefined) return undefined;
    const reduced: Json = { attributes: { POSITION: position }, ...(indices !== undefined && { indices }) };
    if (draco) {
      this.draco = true;
      const view = this.view(draco.bufferView);
      const id = (draco.attributes as Json).POSITION;
      if (whole(id) === undefined) this.fail('A Draco primitive does not say where its positions are');
      reduced.extensions = {
        KHR_draco_mesh_compression: { bufferView: view?.number, attributes: { POSITION: id } },
      };
    }
    this.meshes.push({ primitives: [reduced] });
    return { position, ...(indices !== undefined && { indices }) };
  }

  /** Adds an accessor of an expected type and gives its new number. */
  accessor(index: unknown, compressed: boolean, type: string): number | undefined {
    const known = this.renumbered.accessors.get(index as number);
    if (known !== undefined) return known;
    const source = entry(this.json, 'accessors', index);
    const count = whole(source?.count);
    const width = COMPONENT_BYTES[source?.componentType as number];
    const parts = COMPONENTS[type]!;
    if (!source || count === undefined || width === undefined || source.type !== type)
      return this.fail(`Accessor ${String(index).slice(0, 20)} is missing or is no ${type}`);
    if (count > 6 * this.limits.triangles)
      return this.fail(`Accessor ${String(index)} claims ${count} entries, too many`);
    const reduced: Json = { componentType: source.componentType, count, type };
    if (source.normalized === true) reduced.normalized = true;
    if (!compressed && source.bufferView !== undefined) {
      const view = this.view(source.bufferView);
      if (!view) return undefined;
      const offset = whole(source.byteOffset, 0);
      const stride = view.stride || width * parts;
      const end =
        offset === undefined ? Number.NaN : offset + (count > 0 ? (count - 1) * stride + width * parts : 0);
      if (!(end <= view.length) || offset! % width !== 0)
        return this.fail(`Accessor ${String(index)} reaches beyond its data (${count} entries)`);
      reduced.bufferView = view.number;
      reduced.byteOffset = offset;
    }
    if (
      !compressed &&
      source.sparse !== undefined &&
      !this.sparse(source.sparse, reduced, count, width * parts)
    )
      return undefined;
    const number = this.accessors.push(reduced) - 1;
    this.renumbered.accessors.set(index as number, number);
    return number;
  }

  private sparse(sparse: unknown, reduced: Json, count: number, bytes: number): boolean {
    const of = (key: string): Json =>
      isObject(sparse) && isObject(sparse[key]) ? (sparse[key] as Json) : {};
    const [indices, values] = [of('indices'), of('values')];
    const entries = isObject(sparse) ? whole(sparse.count) : undefined;
    const indexBytes = COMPONENT_BYTES[indices.componentType as number];
    const [where, what] = [this.view(indices.bufferView), this.view(values.bufferView)];
    const [from, start] = [whole(indices.byteOffset, 0), whole(values.byteOffset, 0)];
    if (
      !where ||
      !what ||
      entries === undefined ||
      !indexBytes ||
      from === undefined ||
      start === undefined
    ) {
      this.fail('A sparse accessor is incomplete');
      return false;
    }
    if (
      entries > count ||
      from + entries * indexBytes > where.length ||
      start + entries * bytes > what.length
    ) {
      this.fail('A sparse accessor reaches beyond its data');
      return false;
    }
    reduced.sparse = {
      count: entries,
      indices: { bufferView: where.number, byteOffset: from, componentType: indices.componentType },
      values: { bufferView: what.number, byteOffset: start },
    };
    return true;
  }

  private readonly knownViews: { number: number; length: number; stride: number }[] = [];

  private view(index: unknown): { number: number; length: number; stride: number } | undefined {
    const known = this.renumbered.bufferViews.get(index as number);
    if (known !== undefined) return this.knownViews[known];
    const source = entry(this.json, 'bufferViews', index);
    if (!source) return this.fail(`Buffer view ${String(index).slice(0, 20)} does not exist`);
    const packed = isObject(source.extensions) ? source.extensions.EXT_meshopt_compression : undefined;
    const meshopt = isObject(packed) ? packed : undefined;
    const [stored, length] = this.range(meshopt ?? source);
    if (stored === undefined) return undefined;
    let unpacked = length!;
    const reduced: Json = {
      buffer: stored,
      byteOffset: meshopt ? 0 : whole(source.byteOffset, 0),
      byteLength: length,
    };
    const stride = whole(source.byteStride, 0)!;
    if (source.byteStride !== undefined) {
      if (!(stride >= 4 && stride <= 252))
        return this.fail(`Buffer view ${String(index)} has an impossible stride`);
      reduced.byteStride = stride;
    }
    if (meshopt) {
      const [count, width] = [whole(meshopt.count), whole(meshopt.byteStride)];
      if (count === undefined || !width || width > 256 || count * width > this.limits.bytes)
        return this.fail('A compressed buffer view has an impossible size');
      unpacked = count * width;
      reduced.byteLength = unpacked;
      reduced.extensions = { EXT_meshopt_compression: { ...meshopt, buffer: stored } };
    }
    this.bytes += unpacked;
    if (this.bytes > 4 * this.limits.bytes)
      return this.fail('The file unpacks to more than a part file needs');
    const number = this.views.push(reduced) - 1;
    this.renumbered.bufferViews.set(index as number, number);
    this.knownViews[number] = { number, length: unpacked, stride };
    return this.knownViews[number];
  }

  /** Buffer number and length of a byte range, checked against the buffer's stated length. */
  private range(source: Json): [number | undefined, number | undefined] {
    const buffer = entry(this.json, 'buffers', source.buffer);
    const size = whole(buffer?.byteLength);
    const offset = whole(source.byteOffset, 0);
    const length = whole(source.byteLength);
    if (
      !buffer ||
      size === undefined ||
      offset === undefined ||
      length === undefined ||
      offset + length > size
    ) {
      this.fail('A buffer view reaches beyond its buffer');
      return [undefined, undefined];
    }
    const index = source.buffer as number;
    let number = this.renumbered.buffers.get(index);
    if (number === undefined) {
      number = this.buffers.push({ ...buffer, index }) - 1;
      this.renumbered.buffers.set(index, number);
    }
    return [number, length];
  }

  private fail(message: string): undefined {
    this.problem ??= {
      code: 'gltf-inconsistent',
      path: '',
      message: `${message}.`,
      hint: 'The file is damaged: copy or export it again.',
    };
    return undefined;
  }
}

const COMPONENT_BYTES: Record<number, number> = { 5120: 1, 5121: 1, 5122: 2, 5123: 2, 5125: 4, 5126: 4 };
const COMPONENTS: Record<string, number> = { SCALAR: 1, VEC3: 3, VEC4: 4 };
