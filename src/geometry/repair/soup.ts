import { looseHalfEdges } from './edges.js';
import type { RepairLog } from './report.js';

/** The mesh under repair: indexed triangles with a group each, not yet known to be a surface. */
export interface Soup {
  /** xyz after xyz, in the unit of the file. */
  vertices: Float64Array;
  triangles: Uint32Array;
  group: Int32Array;
  /** 1 where repair has wound a triangle the other way than the file. */
  turned: Uint8Array;
}

/** The triangles of two soups that share their vertices. */
export function appendTriangles(soup: Soup, more: Soup): Soup {
  const join = <T extends Uint32Array | Int32Array | Uint8Array>(a: T, b: T): T => {
    const all = new (a.constructor as new (n: number) => T)(a.length + b.length);
    all.set(a);
    all.set(b, a.length);
    return all;
  };
  return {
    vertices: soup.vertices,
    triangles: join(soup.triangles, more.triangles),
    group: join(soup.group, more.group),
    turned: join(soup.turned, more.turned),
  };
}

/** Beyond this a coordinate is noise: squares of it would leave double precision's range. */
const LARGEST_COORDINATE = 1e12;

/** Keeps the triangles for which `keep` is true. */
export function filterTriangles(soup: Soup, keep: (triangle: number) => boolean): Soup {
  const count = soup.triangles.length / 3;
  const triangles = new Uint32Array(soup.triangles.length);
  const group = new Int32Array(count);
  const turned = new Uint8Array(count);
  let kept = 0;
  for (let t = 0; t < count; t++) {
    if (!keep(t)) continue;
    for (let k = 0; k < 3; k++) triangles[3 * kept + k] = soup.triangles[3 * t + k]!;
    turned[kept] = soup.turned[t]!;
    group[kept++] = soup.group[t]!;
  }
  if (kept === count) return soup;
  return {
    vertices: soup.vertices,
    triangles: triangles.slice(0, 3 * kept),
    group: group.slice(0, kept),
    turned: turned.slice(0, kept),
  };
}

/** Leaves out triangles with a coordinate that is no usable number. */
export function dropNonFinite(soup: Soup, log: RepairLog): Soup {
  const { vertices, triangles } = soup;
  const good = new Uint8Array(vertices.length / 3);
  for (let v = 0; v < good.length; v++)
    good[v] = [0, 1, 2].every((k) => Math.abs(vertices[3 * v + k]!) <= LARGEST_COORDINATE) ? 1 : 0;
  let bad = 0;
  const kept = filterTriangles(soup, (t) => {
    const fine = good[triangles[3 * t]!]! & good[triangles[3 * t + 1]!]! & good[triangles[3 * t + 2]!]!;
    if (!fine) bad++;
    return fine === 1;
  });
  log.add('non-finite-faces', bad);
  return kept;
}

/** Gives vertices at exactly equal positions one number and leaves out the unused ones. Not a repair: STL needs it. */
export function joinEqualVertices(soup: Soup): Soup {
  const { vertices, triangles } = soup;
  const count = vertices.length / 3;
  const size = 2 ** Math.ceil(Math.log2(2 * Math.max(8, count)));
  const table = new Int32Array(size).fill(-1);
  const bits = new Uint32Array(6);
  const floats = new Float64Array(bits.buffer);
  const joined = new Float64Array(vertices.length);
  const number = new Int32Array(count).fill(-1);
  let next = 0;
  const find = (v: number): number => {
    // Adding zero turns -0 into 0, so that both have the same bits.
    for (let k = 0; k < 3; k++) floats[k] = vertices[3 * v + k]! + 0;
    let h = 0x9e3779b9;
    for (let k = 0; k < 6; k++) {
      h = Math.imul(h ^ bits[k]!, 0x85ebca6b);
      h ^= h >>> 13;
    }
    h = Math.imul(h, 0xc2b2ae35);
    for (let slot = (h ^ (h >>> 16)) & (size - 1); ; slot = (slot + 1) & (size - 1)) {
      const there = table[slot]!;
      if (there < 0) {
        table[slot] = next;
        for (let k = 0; k < 3; k++) joined[3 * next + k] = floats[k]!;
        return next++;
      }
      if (
        joined[3 * there] === floats[0] &&
        joined[3 * there + 1] === floats[1] &&
        joined[3 * there + 2] === floats[2]
      )
        return there;
    }
  };
  const out = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    const v = triangles[i]!;
    if (number[v]! < 0) number[v] = find(v);
    out[i] = number[v]!;
  }
  return { ...soup, vertices: joined.slice(0, 3 * next), triangles: out };
}

/** Leaves out triangles that use a vertex twice; their two remaining edges match each other, so no hole opens. */
export function dropCollapsed(soup: Soup, log: RepairLog): Soup {
  const { triangles } = soup;
  let dropped = 0;
  const kept = filterTriangles(soup, (t) => {
    const [a, b, c] = [triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]];
    const fine = a !== b && b !== c && a !== c;
    if (!fine) dropped++;
    return fine;
  });
  log.add('degenerate-faces', dropped);
  return kept;
}

/** Share of faces with a mirror twin from which on a file counts as written double-sided. */
const DOUBLE_SIDED = 0.9;

/**
 * Leaves out repeats of a triangle with the same winding. Twins with opposite winding stay, as two bodies that touch
 * share such walls, unless nearly every face has one: then the file was written double-sided and one side goes.
 */
export function dropDuplicates(soup: Soup, log: RepairLog): Soup {
  const { triangles } = soup;
  const count = triangles.length / 3;
  const size = 2 ** Math.ceil(Math.log2(2 * Math.max(8, count)));
  const table = new Int32Array(size).fill(-1);
  /** Chain of distinct triangles in one slot. */
  const chain = new Int32Array(count).fill(-1);
  const repeat = new Uint8Array(count);
  const twin = new Int32Array(count).fill(-1);
  let repeats = 0;
  let twins = 0;
  for (let t = 0; t < count; t++) {
    const [a, b, c] = smallestFirst(triangles, t);
    let h =
      Math.imul(a, 0x9e3779b1) ^
      Math.imul(Math.min(b, c), 0x85ebca77) ^
      Math.imul(Math.max(b, c), 0xc2b2ae3d);
    h ^= h >>> 15;
    h = Math.imul(h, 0x27d4eb2f);
    const slot = (h ^ (h >>> 13)) & (size - 1);
    for (let other = table[slot]!; other >= 0 && !repeat[t]; other = chain[other]!) {
      const [p, q, r] = smallestFirst(triangles, other);
      if (p === a && q === b && r === c) repeat[t] = 1;
      else if (p === a && q === c && r === b && twin[other]! < 0) {
        twin[t] = other;
        twin[other] = t;
      }
    }
    if (repeat[t]) {
      repeats++;
      if (twin[t]! >= 0) {
        twin[twin[t]!] = -1;
        twin[t] = -1;
      }
      continue;
    }
    chain[t] = table[slot]!;
    table[slot] = t;
  }
  for (let t = 0; t < count; t++) if (twin[t]! >= 0) twins++;
  const doubleSided = twins >= DOUBLE_SIDED * (count - repeats) && twins > 0;
  if (doubleSided) log.add('double-sided-faces', twins / 2);
  else if (twins > 0) repeats += markLooseTwins(soup, twin, repeat);
  log.add('duplicate-faces', repeats);
  return filterTriangles(soup, (t) => !repeat[t] && !(doubleSided && twin[t]! >= 0 && twin[t]! < t));
}

/**
 * Marks one of two mirror twins where one is too many: on an edge with an odd number of faces. Taking it away may bring
 * its neighbour into the same position, so this goes on from the rim of a doubled patch inward.
 */
function markLooseTwins(soup: Soup, twin: Int32Array, repeat: Uint8Array): number {
  let marked = 0;
  for (let round = 0; round < 100; round++) {
    const before = marked;
    const rest = Uint32Array.from(repeat.keys()).filter((t) => !repeat[t]);
    const triangles = rest.length === repeat.length ? soup.triangles : new Uint32Array(3 * rest.length);
    rest.forEach((t, i) => {
      for (let k = 0; k < 3; k++) triangles[3 * i + k] = soup.triangles[3 * t + k]!;
    });
    for (const h of looseHalfEdges(triangles, soup.vertices.length / 3)) {
      const t = rest[(h / 3) | 0]!;
      const other = twin[t]!;
      if (other < 0) continue;
      repeat[Math.max(t, other)] = 1;
      twin[t] = twin[other] = -1;
      marked++;
    }
    if (marked === before) break;
  }
  return marked;
}

function smallestFirst(triangles: Uint32Array, t: number): [number, number, number] {
  const [a, b, c] = [triangles[3 * t]!, triangles[3 * t + 1]!, triangles[3 * t + 2]!];
  return a < b && a < c ? [a, b, c] : b < c ? [b, c, a] : [c, a, b];
}

/** Diagonal of the bounding box of the vertices in use. */
export function diagonal({ vertices, triangles }: Soup): number {
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (const v of triangles)
    for (let k = 0; k < 3; k++) {
      const x = vertices[3 * v + k]!;
      if (x < min[k]!) min[k] = x;
      if (x > max[k]!) max[k] = x;
    }
  return Math.hypot(...max.map((x, k) => x - min[k]!));
}
