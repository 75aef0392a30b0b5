import { findEdges, nextCorner } from './edges.js';
import type { Soup } from './soup.js';

/** The surface as connected shells: which faces are neighbours across which edge, wound alike. */
export interface Shells {
  /** The half-edge each half-edge is joined to, or -1 on the rim of a hole. */
  mate: Int32Array;
  /** Shell number per triangle. */
  shell: Int32Array;
  count: number;
  /** 1 where a triangle must be turned over to agree with the larger part of its shell. */
  turned: Uint8Array;
  /** Half-edges of each edge with more than two faces. */
  crowded: number[][];
  /** Edges that stay in conflict however faces are turned: the shell is one-sided, like a Moebius band. */
  oneSided: number;
}

/** Joins faces into shells and finds the winding under which neighbours agree. */
export function findShells(soup: Soup): Shells {
  const { triangles, vertices } = soup;
  const edges = findEdges(triangles, vertices.length / 3);
  const mate = new Int32Array(triangles.length).fill(-1);
  const crowded: number[][] = [];
  for (let e = 0; e < edges.count; e++) {
    const from = edges.start[e]!;
    const uses = edges.start[e + 1]! - from;
    if (uses === 2) join(mate, edges.order[from]!, edges.order[from + 1]!);
    else if (uses > 2) {
      const halves = [...edges.order.subarray(from, from + uses)];
      crowded.push(halves);
      pairAround(soup, halves, mate);
    }
  }
  return { ...orient(soup, mate), mate, crowded };
}

function join(mate: Int32Array, g: number, h: number): void {
  mate[g] = h;
  mate[h] = g;
}

/**
 * Pairs the faces at an edge with more than two, so that solids which merely touch there stay apart: going around the
 * edge, the face where material begins is joined to the next one where it ends.
 */
function pairAround({ vertices, triangles }: Soup, halves: number[], mate: Int32Array): void {
  const low = Math.min(triangles[halves[0]!]!, triangles[nextCorner(halves[0]!)]!);
  const high = Math.max(triangles[halves[0]!]!, triangles[nextCorner(halves[0]!)]!);
  const at = (v: number, k: number): number => vertices[3 * v + k]!;
  const axis = [0, 1, 2].map((k) => at(high, k) - at(low, k));
  const length = Math.hypot(...axis);
  const [ex, ey, ez] = axis.map((x) => x / length) as [number, number, number];
  const apart = halves.map((h) => {
    const apex = triangles[nextCorner(nextCorner(h))]!;
    return [0, 1, 2].map((k) => at(apex, k) - at(low, k)) as [number, number, number];
  });
  const [ux, uy, uz] = square(apart[0]!, [ex, ey, ez]);
  const [vx, vy, vz] = [ey * uz - ez * uy, ez * ux - ex * uz, ex * uy - ey * ux];
  const around = halves.map((h, i) => {
    const [x, y, z] = apart[i]!;
    const angle = Math.atan2(x * vx + y * vy + z * vz, x * ux + y * uy + z * uz);
    // A face that runs low -> high ends the material found when turning about that axis, its opposite begins it.
    const ends = triangles[h] === low;
    // Rounded, so that coincident faces of two touching bodies tie; then the one that ends material comes first.
    return { h, ends, turn: Math.round((angle < -1e-9 ? angle + 2 * Math.PI : angle) * 1e9) };
  });
  around.sort((p, q) => p.turn - q.turn || Number(q.ends) - Number(p.ends));
  const n = around.length;
  const used = new Uint8Array(n);
  const open: number[] = [];
  for (let step = 0; step < 2 * n; step++) {
    const i = step % n;
    if (used[i]) continue;
    if (!around[i]!.ends) {
      if (step < n) open.push(i);
    } else if (open.length) {
      const begun = open.pop()!;
      used[begun] = used[i] = 1;
      join(mate, around[begun]!.h, around[i]!.h);
    }
  }
  // Faces whose winding is wrong find no partner that way: neighbours by angle are joined, an odd one stays open.
  const left = around.filter((_, i) => !used[i]);
  for (let i = 0; i + 1 < left.length; i += 2) join(mate, left[i]!.h, left[i + 1]!.h);
}

/** Part of `w` square to the unit vector `e`, of unit length. */
function square(
  w: readonly [number, number, number],
  e: readonly [number, number, number],
): [number, number, number] {
  const along = w[0] * e[0] + w[1] * e[1] + w[2] * e[2];
  const r = w.map((x, k) => x - along * e[k]!) as [number, number, number];
  const length = Math.hypot(...r) || 1;
  return r.map((x) => x / length) as [number, number, number];
}

function orient({ triangles, vertices }: Soup, mate: Int32Array): Omit<Shells, 'mate' | 'crowded'> {
  const faces = triangles.length / 3;
  const shell = new Int32Array(faces).fill(-1);
  const turned = new Uint8Array(faces);
  const queue = new Int32Array(faces);
  let count = 0;
  let oneSided = 0;
  for (let seed = 0; seed < faces; seed++) {
    if (shell[seed]! >= 0) continue;
    let head = 0;
    let tail = 0;
    queue[tail++] = seed;
    shell[seed] = count;
    let areaTurned = 0;
    let area = 0;
    while (head < tail) {
      const t = queue[head++]!;
      const a = faceArea(vertices, triangles, t);
      area += a;
      if (turned[t]) areaTurned += a;
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const g = mate[h]!;
        if (g < 0) continue;
        const other = (g / 3) | 0;
        const clash = triangles[h] === triangles[g] ? 1 : 0;
        if (shell[other]! < 0) {
          shell[other] = count;
          turned[other] = turned[t]! ^ clash;
          queue[tail++] = other;
        } else if ((turned[other]! ^ turned[t]!) !== clash) {
          mate[h] = mate[g] = -1;
          oneSided++;
        }
      }
    }
    // The larger part by area is taken to be right.
    if (areaTurned > area / 2) for (let i = 0; i < tail; i++) turned[queue[i]!]! ^= 1;
    count++;
  }
  return { shell, count, turned, oneSided };
}

export function faceArea(vertices: Float64Array, triangles: Uint32Array, t: number): number {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ux = vertices[b]! - vertices[a]!;
  const uy = vertices[b + 1]! - vertices[a + 1]!;
  const uz = vertices[b + 2]! - vertices[a + 2]!;
  const vx = vertices[c]! - vertices[a]!;
  const vy = vertices[c + 1]! - vertices[a + 1]!;
  const vz = vertices[c + 2]! - vertices[a + 2]!;
  return 0.5 * Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx);
}

/** Turns over a triangle by swapping its last two corners; half-edges 3t and 3t+2 trade places in `mate`. */
export function turnOver(triangles: Uint32Array, mate: Int32Array, t: number): void {
  const [i, j, k] = [3 * t, 3 * t + 1, 3 * t + 2];
  [triangles[j], triangles[k]] = [triangles[k]!, triangles[j]!];
  // Edges were ab, bc, ca; with corners a, c, b they are ac, cb, ba: the first and the last have traded places.
  [mate[i], mate[k]] = [mate[k]!, mate[i]!];
  if (mate[i]! >= 0) mate[mate[i]!] = i;
  if (mate[k]! >= 0) mate[mate[k]!] = k;
}

/**
 * Renumbers vertices so that each one belongs to a single fan of joined faces: bodies that share a vertex or an edge no
 * longer do, and every edge has at most two faces. Also drops unused vertices.
 */
export function separate(
  soup: Soup,
  mate: Int32Array,
): { vertices: Float64Array; triangles: Uint32Array; origin: Uint32Array } {
  const { triangles } = soup;
  const parent = Uint32Array.from({ length: triangles.length }, (_, i) => i);
  const root = (i: number): number => {
    while (parent[i] !== i) {
      parent[i] = parent[parent[i]!]!;
      i = parent[i]!;
    }
    return i;
  };
  for (let h = 0; h < mate.length; h++) {
    const g = mate[h]!;
    if (g < h) continue;
    // Joined half-edges run in opposite directions: the corner h starts at is where g ends.
    const same = triangles[h] === triangles[g];
    parent[root(h)] = root(same ? g : nextCorner(g));
    parent[root(nextCorner(h))] = root(same ? nextCorner(g) : g);
  }
  const number = new Int32Array(triangles.length).fill(-1);
  const origin: number[] = [];
  const out = triangles.map((v, corner) => {
    const r = root(corner);
    if (number[r]! < 0) {
      number[r] = origin.length;
      origin.push(v);
    }
    return number[r]!;
  });
  const vertices = new Float64Array(3 * origin.length);
  origin.forEach((v, i) => {
    for (let k = 0; k < 3; k++) vertices[3 * i + k] = soup.vertices[3 * v + k]!;
  });
  return { vertices, triangles: out, origin: Uint32Array.from(origin) };
}
