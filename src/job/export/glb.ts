import { Document, WebIO } from '@gltf-transform/core';
import { bands, ramp } from '../card/index.js';
import type { DrawnBody, PartMap } from '../result.js';

/**
 * The thickness map as GLB (glTF 2.0, metres, y up): the part coloured by thickness with the numbers beside the colours
 * as vertex attributes `_THICKNESS` [m] and `_CURRENT_DENSITY` [A/m2], and everything else in the vessel in plain grey.
 */
export async function mapGlb(map: PartMap, bodies: readonly DrawnBody[]): Promise<Uint8Array> {
  const document = new Document();
  const buffer = document.createBuffer();
  const scene = document.createScene('set-up');
  const attribute = (values: Float32Array, type: 'SCALAR' | 'VEC3') =>
    document.createAccessor().setType(type).setArray(values).setBuffer(buffer);
  const add = (name: string, positions: Float32Array, triangles: Uint32Array) => {
    const primitive = document
      .createPrimitive()
      .setAttribute('POSITION', attribute(upright(positions), 'VEC3'))
      .setIndices(document.createAccessor().setType('SCALAR').setArray(triangles).setBuffer(buffer));
    const mesh = document.createMesh(name).addPrimitive(primitive);
    scene.addChild(document.createNode(name).setMesh(mesh));
    return primitive;
  };
  const part = add('part', map.positions, map.triangles);
  part
    .setAttribute('COLOR_0', attribute(colours(map.thickness), 'VEC3'))
    .setAttribute('_THICKNESS', attribute(map.thickness, 'SCALAR'))
    .setAttribute('_CURRENT_DENSITY', attribute(map.currentDensity, 'SCALAR'))
    .setMaterial(document.createMaterial('deposit').setRoughnessFactor(0.6).setMetallicFactor(0));
  for (const body of bodies) {
    const clear = body.role === 'vessel';
    const material = document
      .createMaterial(body.name)
      .setBaseColorFactor(clear ? [0.8, 0.9, 0.95, 0.15] : [0.6, 0.6, 0.58, 1])
      .setAlphaMode(clear ? 'BLEND' : 'OPAQUE')
      .setDoubleSided(clear);
    add(body.name, body.positions, body.triangles).setMaterial(material);
  }
  return new WebIO().writeBinary(document);
}

/** From z up to y up. */
const upright = (positions: Float32Array): Float32Array =>
  positions.map((_, i) =>
    i % 3 === 0 ? positions[i]! : i % 3 === 1 ? positions[i + 1]! : -positions[i - 1]!,
  );

/** Linear-light colours, as glTF wants them, on the scale of the map. */
function colours(thickness: Float32Array): Float32Array {
  const order = thickness.toSorted();
  const at = (share: number): number => order[Math.round(share * (order.length - 1))]!;
  const { edges } = bands(at(0.01), at(0.99), 1e-6);
  const [low, high] = [edges[0]!, edges.at(-1)!];
  const decode = (u: number): number => (u <= 0.04045 ? u / 12.92 : ((u + 0.055) / 1.055) ** 2.4);
  const out = new Float32Array(3 * thickness.length);
  thickness.forEach((t, i) => {
    out.set(ramp((t - low) / (high - low)).map(decode), 3 * i);
  });
  return out;
}
