/**
 * Which triangles meet at which edge. Half-edge h = 3 t + k runs from corner k of triangle t to the next corner.
 * `order` lists half-edges so that all those on one undirected edge stand together, edge e being
 * `order[start[e]]` .. `order[start[e + 1] - 1]`.
 */
export interface Edges {
  order: Uint32Array;
  start: Uint32Array;
  count: number;
}

export const nextCorner = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);

export function findEdges(triangles: Uint32Array, vertexCount: number): Edges {
  const halfEdges = triangles.length;
  const low = (h: number): number => Math.min(triangles[h]!, triangles[nextCorner(h)]!);
  const high = (h: number): number => Math.max(triangles[h]!, triangles[nextCorner(h)]!);
  // Two passes of a counting sort: first by the higher, then, stable, by the lower vertex.
  const byHigh = countingSort(
    Uint32Array.from({ length: halfEdges }, (_, i) => i),
    high,
    vertexCount,
  );
  const order = countingSort(byHigh, low, vertexCount);
  const start = new Uint32Array(halfEdges + 1);
  let count = 0;
  for (let i = 0; i < halfEdges; i++) {
    const h = order[i]!;
    if (i === 0 || low(h) !== low(order[i - 1]!) || high(h) !== high(order[i - 1]!)) start[count++] = i;
  }
  start[count] = halfEdges;
  return { order, start: start.subarray(0, count + 1), count };
}

function countingSort(items: Uint32Array, key: (item: number) => number, keys: number): Uint32Array {
  const offset = new Uint32Array(keys + 1);
  for (const item of items) offset[key(item) + 1]!++;
  for (let k = 0; k < keys; k++) offset[k + 1]! += offset[k]!;
  const out = new Uint32Array(items.length);
  for (const item of items) out[offset[key(item)]!++] = item;
  return out;
}

/** Half-edges on edges used an odd number of times: the rims of holes and cracks. */
export function looseHalfEdges(triangles: Uint32Array, vertexCount: number): number[] {
  const { order, start, count } = findEdges(triangles, vertexCount);
  const loose: number[] = [];
  for (let e = 0; e < count; e++)
    if ((start[e + 1]! - start[e]!) % 2 === 1)
      for (let i = start[e]!; i < start[e + 1]!; i++) loose.push(order[i]!);
  return loose;
}
