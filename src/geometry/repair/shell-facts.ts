import type { ShellFacts } from './nesting.js';
import type { RepairLog } from './report.js';
import { faceArea, type Shells } from './shells.js';
import { filterTriangles, type Soup } from './soup.js';

/** An open scrap with less than this share of the area, beside a closed body, is a stray. Our own rule, no source. */
const STRAY = 0.01;

/** Measures every shell; faces must already be wound alike within each. */
export function factsOf(soup: Soup, shells: Shells): ShellFacts[] {
  const { vertices, triangles } = soup;
  const facts = Array.from(
    { length: shells.count },
    (): ShellFacts => ({
      faces: [],
      closed: true,
      area: 0,
      volume: 0,
      min: [Infinity, Infinity, Infinity],
      max: [-Infinity, -Infinity, -Infinity],
      parent: -1,
      kind: 'solid',
      flip: false,
    }),
  );
  for (let t = 0; t < shells.shell.length; t++) {
    const fact = facts[shells.shell[t]!]!;
    fact.faces.push(t);
    fact.area += faceArea(vertices, triangles, t);
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      if (shells.mate[h]! < 0) fact.closed = false;
      for (let k = 0; k < 3; k++) {
        const x = vertices[3 * triangles[h]! + k]!;
        if (x < fact.min[k]!) fact.min[k] = x;
        if (x > fact.max[k]!) fact.max[k] = x;
      }
    }
  }
  for (const fact of facts) fact.volume = volumeOf(soup, shells, fact);
  return facts;
}

/** Volume about the middle of the rim of an open shell (a cone closes it), about the middle of the box of a closed one. */
function volumeOf({ vertices, triangles }: Soup, { mate }: Shells, fact: ShellFacts): number {
  const origin: [number, number, number] = [0, 1, 2].map((k) => (fact.min[k]! + fact.max[k]!) / 2) as never;
  if (!fact.closed) {
    const rim = fact.faces.flatMap((t) => [3 * t, 3 * t + 1, 3 * t + 2].filter((h) => mate[h]! < 0));
    for (let k = 0; k < 3; k++)
      origin[k] = rim.reduce((sum, h) => sum + vertices[3 * triangles[h]! + k]! / rim.length, 0);
  }
  let sum = 0;
  for (const t of fact.faces) sum += cone(vertices, triangles, t, origin);
  return sum;
}

/** Signed volume of the tetrahedron from a point to a triangle. */
export function cone(
  vertices: Float64Array,
  triangles: Uint32Array,
  t: number,
  [ox, oy, oz]: readonly [number, number, number],
): number {
  const a = 3 * triangles[3 * t]!;
  const b = 3 * triangles[3 * t + 1]!;
  const c = 3 * triangles[3 * t + 2]!;
  const ax = vertices[a]! - ox;
  const ay = vertices[a + 1]! - oy;
  const az = vertices[a + 2]! - oz;
  const bx = vertices[b]! - ox;
  const by = vertices[b + 1]! - oy;
  const bz = vertices[b + 2]! - oz;
  const cx = vertices[c]! - ox;
  const cy = vertices[c + 1]! - oy;
  const cz = vertices[c + 2]! - oz;
  return (ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)) / 6;
}

/**
 * Leaves out small open scraps beside closed bodies: leftovers of modelling, not something to plate. A piece whose rim
 * runs along another shell belongs to that one and stays.
 */
export function dropStrays(soup: Soup, shells: Shells, log: RepairLog): Soup {
  const closed = new Uint8Array(shells.count).fill(1);
  const area = new Float64Array(shells.count);
  for (let t = 0; t < shells.shell.length; t++) {
    const s = shells.shell[t]!;
    area[s]! += faceArea(soup.vertices, soup.triangles, t);
    for (let h = 3 * t; h < 3 * t + 3; h++) if (shells.mate[h]! < 0) closed[s] = 0;
  }
  if (!closed.includes(1)) return soup;
  const attached = new Set(shells.crowded.flatMap((halves) => halves.map((h) => shells.shell[(h / 3) | 0]!)));
  const total = area.reduce((sum, a) => sum + a, 0);
  const stray = area.map((a, s) => (closed[s] || a >= STRAY * total || attached.has(s) ? 0 : 1));
  log.add(
    'stray-pieces',
    stray.reduce((sum, s) => sum + s, 0),
  );
  return filterTriangles(soup, (t) => stray[shells.shell[t]!] === 0);
}
