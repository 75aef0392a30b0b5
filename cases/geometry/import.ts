import {
  importPart,
  measure,
  measureBelow,
  type TriangleMesh,
  writePly,
  writeStl,
} from '../../src/geometry/index.js';
import type { Study } from '../runner.js';

const text = (lines: string[]): Uint8Array => Uint8Array.from(lines.join('\n'), (c) => c.charCodeAt(0));

async function read(name: string, bytes: Uint8Array) {
  const part = await importPart({ name, bytes }, name.endsWith('.obj') ? {} : { unit: 'm' });
  if (!part.ok) throw new Error(part.problems[0]!.message);
  return part.value;
}

/** A closed surface over a grid that wraps around both ways. */
function torus(R: number, r: number, n: number): TriangleMesh {
  const [around, across] = [2 * n, n];
  const vertices: number[] = [];
  for (let i = 0; i < around; i++)
    for (let j = 0; j < across; j++) {
      const [a, b] = [(2 * Math.PI * i) / around, (2 * Math.PI * j) / across];
      const out = R + r * Math.cos(b);
      vertices.push(out * Math.cos(a), out * Math.sin(a), r * Math.sin(b));
    }
  const at = (i: number, j: number): number => (i % around) * across + (j % across);
  const triangles: number[] = [];
  for (let i = 0; i < around; i++)
    for (let j = 0; j < across; j++)
      triangles.push(at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j), at(i + 1, j + 1), at(i, j + 1));
  return { vertices: Float64Array.from(vertices), triangles: Uint32Array.from(triangles) };
}

function ball(radius: number, n: number): TriangleMesh {
  const around = 2 * n;
  const vertices: number[] = [];
  for (let i = 0; i <= n; i++)
    for (let j = 0; j < around; j++) {
      const [a, b] = [(Math.PI * i) / n, (2 * Math.PI * j) / around];
      vertices.push(Math.sin(a) * Math.cos(b), Math.sin(a) * Math.sin(b), i === n ? -1 : Math.cos(a));
    }
  const at = (i: number, j: number): number => (i % n === 0 ? i * around : i * around + (j % around));
  const triangles: number[] = [];
  for (let i = 0; i < n; i++)
    for (let j = 0; j < around; j++) {
      if (i > 0) triangles.push(at(i, j), at(i + 1, j), at(i, j + 1));
      if (i < n - 1) triangles.push(at(i + 1, j), at(i + 1, j + 1), at(i, j + 1));
    }
  return { vertices: Float64Array.from(vertices, (x) => radius * x), triangles: Uint32Array.from(triangles) };
}

/** Regular icosahedron of edge 1 as ASCII STL; every other face is written the wrong way round. */
function icosahedron(): Uint8Array {
  const g = (1 + Math.sqrt(5)) / 4;
  const corners: number[][] = [];
  for (const s of [-0.5, 0.5]) for (const t of [-g, g]) corners.push([0, s, t], [s, t, 0], [t, 0, s]);
  const apart = (a: number, b: number): boolean =>
    Math.abs(Math.hypot(...corners[a]!.map((x, k) => x - corners[b]![k]!)) - 1) < 1e-9;
  const lines = ['solid icosahedron'];
  let face = 0;
  for (let a = 0; a < 12; a++)
    for (let b = a + 1; b < 12; b++)
      for (let c = b + 1; c < 12; c++) {
        if (!apart(a, b) || !apart(b, c) || !apart(a, c)) continue;
        lines.push('facet normal 0 0 0', 'outer loop');
        for (const v of face++ % 2 ? [a, b, c] : [b, a, c]) lines.push(`vertex ${corners[v]!.join(' ')}`);
        lines.push('endloop', 'endfacet');
      }
  return text([...lines, 'endsolid icosahedron']);
}

const [R, r] = [0.01, 0.002];
const ring = async (n: number) => measure((await read('ring.stl', writeStl(torus(R, r, n), 1))).mesh);
const ringVolume = 2 * Math.PI ** 2 * R * r * r;

async function hollowBall(): Promise<number> {
  const [outer, inner] = [ball(2, 16), ball(1, 16)];
  // The whole file is inside-out: the ball wound inward, its hollow outward.
  const turned = outer.triangles.map((_, i, t) => t[i - (i % 3) + [0, 2, 1][i % 3]!]!);
  const shift = outer.vertices.length / 3;
  const both = {
    vertices: Float64Array.from([...outer.vertices, ...inner.vertices]),
    triangles: Uint32Array.from([...turned, ...inner.triangles.map((v) => v + shift)]),
  };
  const part = await read('hollow.ply', writePly(both));
  return measure(part.mesh).volume / (measure(outer).volume - measure(inner).volume);
}

const CUBE = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => `v ${i & 1} ${(i >> 1) & 1} ${i >> 2}`);
const QUADS = ['1 3 4 2', '5 6 8 7', '1 2 6 5', '3 7 8 4', '1 5 7 3', '2 4 8 6'].map((q) => `f ${q}`);
const L = [
  [0, 0],
  [2, 0],
  [2, 1],
  [1, 1],
  [1, 2],
  [0, 2],
];
const PRISM = [
  '# units = m',
  ...[0, 1].flatMap((z) => L.map(([x, y]) => `v ${x} ${y} ${z}`)),
  'f 6 5 4 3 2 1',
  'f 7 8 9 10 11 12',
  ...L.map((_, i) => `f ${i + 1} ${((i + 1) % 6) + 1} ${((i + 1) % 6) + 7} ${i + 7}`),
];

const DEPTH = 0.4;
const dipped = () => measureBelow(ball(1, 96), DEPTH - 1);

export const study: Study = {
  'icosahedron-area': async () => measure((await read('a.stl', icosahedron())).mesh).area,
  'icosahedron-volume': async () => measure((await read('a.stl', icosahedron())).mesh).volume,
  'torus-area': async () => (await ring(80)).area / (4 * Math.PI ** 2 * R * r),
  'torus-volume': async () => (await ring(80)).volume / ringVolume,
  'torus-order': async () => {
    const [coarse, fine] = [await ring(24), await ring(48)];
    return Math.log2((1 - coarse.volume / ringVolume) / (1 - fine.volume / ringVolume));
  },
  'cubic-inch': async () =>
    measure((await read('a.obj', text(['# units: inches', ...CUBE, ...QUADS]))).mesh).volume,
  'concave-prism': async () => measure((await read('a.obj', text(PRISM))).mesh).volume,
  'hollow-ball': hollowBall,
  'immersed-cap': () => dipped().area / (2 * Math.PI * DEPTH),
  'immersed-volume': () => dipped().volume / ((Math.PI * DEPTH ** 2 * (3 - DEPTH)) / 3),
};
