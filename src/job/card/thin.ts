/** A mesh with one value a vertex, light enough to draw on paper. */
export interface ValueMesh {
  positions: Float32Array;
  triangles: Uint32Array;
  /** Any number of fields, one value a vertex. */
  fields: Float32Array[];
}

/**
 * Merges the vertices that share a cell of a grid over the bounds, averaging positions and fields, until at most `limit`
 * triangles remain. For drawings only: a few hundredths of the size of the part are lost, which paper does not show.
 */
export function thinned(mesh: ValueMesh, limit: number): ValueMesh {
  if (mesh.triangles.length / 3 <= limit) return mesh;
  for (let cells = 160; cells >= 16; cells = Math.floor(cells * 0.75)) {
    const coarse = clustered(mesh, cells);
    if (coarse.triangles.length / 3 <= limit || cells === 16) return coarse;
  }
  return clustered(mesh, 12);
}

function clustered(mesh: ValueMesh, cells: number): ValueMesh {
  const { positions, triangles, fields } = mesh;
  const low = [Infinity, Infinity, Infinity];
  let size = 0;
  for (let axis = 0; axis < 3; axis++) {
    let high = -Infinity;
    for (let i = axis; i < positions.length; i += 3) {
      low[axis] = Math.min(low[axis]!, positions[i]!);
      high = Math.max(high, positions[i]!);
    }
    size = Math.max(size, high - low[axis]!);
  }
  const step = size / cells;
  const cellOf = new Map<number, number>();
  const target = new Uint32Array(positions.length / 3);
  const count: number[] = [];
  for (let v = 0; v < target.length; v++) {
    const [i, j, k] = [0, 1, 2].map((a) => Math.floor((positions[3 * v + a]! - low[a]!) / step)) as [
      number,
      number,
      number,
    ];
    const key = (i * (cells + 2) + j) * (cells + 2) + k;
    let cell = cellOf.get(key);
    if (cell === undefined) {
      cell = count.length;
      cellOf.set(key, cell);
      count.push(0);
    }
    target[v] = cell;
    count[cell]! += 1;
  }
  const merge = (source: Float32Array, width: number): Float32Array => {
    const out = new Float32Array(count.length * width);
    for (let v = 0; v < target.length; v++)
      for (let a = 0; a < width; a++)
        out[target[v]! * width + a]! += source[v * width + a]! / count[target[v]!]!;
    return out;
  };
  const kept: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [target[triangles[t]!]!, target[triangles[t + 1]!]!, target[triangles[t + 2]!]!];
    if (a !== b && b !== c && c !== a) kept.push(a, b, c);
  }
  return {
    positions: merge(positions, 3),
    triangles: Uint32Array.from(kept),
    fields: fields.map((f) => merge(f, 1)),
  };
}
