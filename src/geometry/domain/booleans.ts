import type { ManifoldToplevel } from 'manifold-3d';
import type { TriangleMesh } from '../surface.js';

/** Several closed bodies made into one. */
export interface Union {
  mesh: TriangleMesh;
  /** For each triangle the input mesh it comes from, and its triangle there. */
  source: Int32Array;
  triangle: Int32Array;
  /** For each vertex its number among all input vertices, mesh after mesh; -1 where bodies meet. Kept ones are exact. */
  vertex: Int32Array;
}

/** Robust boolean operations; a door supplies them loaded, so that nothing here reads files. */
export interface Booleans {
  /** The union of closed meshes, or why there is none. */
  union(meshes: TriangleMesh[]): Union | { failed: string };
}

/**
 * Booleans from the manifold-3d library. `load()` finds its WebAssembly by itself in Node; in a browser hand over
 * `locateFile` with the URL the bundler gave the .wasm.
 */
export async function loadBooleans(locateFile?: () => string): Promise<Booleans> {
  const { default: load } = await import('manifold-3d');
  const library = await load(locateFile && { locateFile });
  library.setup();
  return manifoldBooleans(library);
}

export function manifoldBooleans(library: ManifoldToplevel): Booleans {
  return { union: (meshes) => unite(library, meshes) };
}

/** The library works in single precision: coordinates are centred and scaled to about one before they go in. */
function unite(library: ManifoldToplevel, meshes: TriangleMesh[]): Union | { failed: string } {
  const { shift, size } = frame(meshes);
  const made: InstanceType<ManifoldToplevel['Manifold']>[] = [];
  try {
    const first = library.Manifold.reserveIDs(meshes.length);
    for (const [i, mesh] of meshes.entries()) {
      const count = mesh.triangles.length / 3;
      const solid = new library.Manifold(
        new library.Mesh({
          numProp: 3,
          vertProperties: Float32Array.from(mesh.vertices, (x, k) => (x - shift[k % 3]!) / size),
          triVerts: Uint32Array.from(mesh.triangles),
          runIndex: Uint32Array.from([0, 3 * count]),
          runOriginalID: Uint32Array.from([first + i]),
          faceID: Uint32Array.from({ length: count }, (_, t) => t),
        }),
      );
      made.push(solid);
      if (solid.status() !== 'NoError') return { failed: `body ${i + 1}: ${solid.status()}` };
    }
    const united = library.Manifold.union(made);
    made.push(united);
    if (united.status() !== 'NoError') return { failed: united.status() };
    const out = united.getMesh();
    const { triVerts, mergeFromVert, mergeToVert, runIndex, runOriginalID, faceID, vertProperties, numProp } =
      out;
    const same = Uint32Array.from({ length: vertProperties.length / numProp }, (_, v) => v);
    mergeFromVert?.forEach((v, k) => {
      same[v] = mergeToVert[k]!;
    });
    const source = new Int32Array(triVerts.length / 3);
    for (let run = 0; run < runOriginalID.length; run++)
      source.fill(runOriginalID[run]! - first, runIndex[run]! / 3, runIndex[run + 1]! / 3);
    const vertices = new Float64Array(3 * same.length);
    const vertex = new Int32Array(same.length);
    const known = namesOf(meshes, shift, size);
    for (let v = 0; v < same.length; v++) {
      const [x, y, z] = vertProperties.subarray(v * numProp, v * numProp + 3) as unknown as [
        number,
        number,
        number,
      ];
      const from = known.get(`${x},${y},${z}`);
      vertex[v] = from?.number ?? -1;
      vertices.set(from?.at ?? [x * size + shift[0]!, y * size + shift[1]!, z * size + shift[2]!], 3 * v);
    }
    return {
      mesh: { vertices, triangles: triVerts.map((v) => same[v]!) },
      source,
      triangle: Int32Array.from(faceID),
      vertex,
    };
  } catch (error) {
    // The library throws on input it cannot take at all.
    return { failed: error instanceof Error ? error.message : String(error) };
  } finally {
    for (const solid of made) solid.delete();
  }
}

/** Input vertices by the single-precision coordinates the library sees. */
function namesOf(
  meshes: TriangleMesh[],
  shift: number[],
  size: number,
): Map<string, { number: number; at: [number, number, number] }> {
  const names = new Map<string, { number: number; at: [number, number, number] }>();
  const single = (x: number, k: number): number => Math.fround((x - shift[k]!) / size);
  let number = 0;
  for (const { vertices } of meshes)
    for (let i = 0; i < vertices.length; i += 3, number++) {
      const at: [number, number, number] = [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!];
      names.set(at.map(single).join(','), { number, at });
    }
  return names;
}

function frame(meshes: TriangleMesh[]): { shift: number[]; size: number } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const { vertices } of meshes)
    vertices.forEach((x, i) => {
      low[i % 3] = Math.min(low[i % 3]!, x);
      high[i % 3] = Math.max(high[i % 3]!, x);
    });
  return {
    shift: low.map((x, k) => (x + high[k]!) / 2),
    size: Math.max(...high.map((x, k) => (x - low[k]!) / 2)) || 1,
  };
}
