import { createRequire } from 'node:module';
import { WebIO } from '@gltf-transform/core';
import {
  EXTMeshoptCompression,
  KHRDracoMeshCompression,
  KHRMeshQuantization,
} from '@gltf-transform/extensions';
import { unzipSync, zipSync } from 'fflate';
import { MeshoptEncoder } from 'meshoptimizer/encoder';
import { expect, test } from 'vitest';
import {
  asciiStl,
  ball,
  box,
  bytesOf,
  glb,
  gltf,
  insideOut,
  joined,
  meshXml,
  model,
  threemf,
} from '../../../test/fixtures/meshes.js';
import { writeObj, writePly, writeStl } from '../export/index.js';
import { measure } from '../measure.js';
import { importPart } from './part.js';

/**
 * Files of every format, broken at random: bits, bytes, cuts, copied stretches, numbers that lie, words out of place.
 * Whatever comes, a reader returns an outcome, soon, within its limits, and a surface it accepts is consistent.
 * FUZZ_SEED repeats a run, FUZZ_ROUNDS lengthens it.
 */
const SEED = Number(process.env.FUZZ_SEED ?? 20_240_607);
const ROUNDS = Number(process.env.FUZZ_ROUNDS ?? 10_000);
/** Far above what these small files need (milliseconds); a hang or a quadratic blow-up is far above this. */
const MOST_MILLISECONDS = 10_000;
const LIMITS = { triangles: 20_000, bytes: 2 ** 22, unpacked: 2 ** 22, instances: 500, corners: 2000 };

const mesh = joined(ball(1, 5), insideOut(ball(0.3, 3)), box(1, 2, 1, [2, 0, 0]));
const components =
  `<resources><object id="1" name="block">${meshXml(mesh)}</object><object id="2"><components>` +
  '<component objectid="1"/><component objectid="1" transform="1 0 0 0 1 0 0 0 1 9 0 0"/></components></object>' +
  '</resources><build><item objectid="2"/></build>';
const xml = model(components);
const draco = createRequire(import.meta.url)('draco3dgltf');

const SEEDS: Record<string, Uint8Array> = {
  'binary.stl': writeStl(mesh, 1),
  'ascii.stl': bytesOf(asciiStl(box(1, 2, 3))),
  'part.obj': bytesOf(
    writeObj(mesh, { group: mesh.triangles.map((_, i) => i % 3), groupNames: ['a', 'b', 'c'] }),
  ),
  'polygon.obj': bytesOf(
    'v 0 0 0\nv 2 0 0\nv 2 2 0\nv 1 1 0\nv 0 2 0\nv 1 1 3\ng a\nf 1 2 3 4 5\nf -1 -2 -3\nf 1 5 6 2',
  ),
  'binary.ply': writePly(mesh, [{ name: 'thickness', values: new Float64Array(mesh.triangles.length / 3) }]),
  'ascii.ply': bytesOf(
    'ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement face 4\nproperty list uchar int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n3 0 2 1\n3 0 1 3\n3 1 2 3\n3 2 0 3\n',
  ),
  'part.glb': glb(mesh, (json) => {
    json.nodes = [{ children: [1, 2] }, { mesh: 0, scale: [1, 2, 3] }, { mesh: 0, translation: [9, 0, 0] }];
  }),
  'part.gltf': gltf(box(1, 2, 3)),
  'part.3mf': threemf({ '3D/3dmodel.model': xml }),
  'stored.3mf': zipSync(unzipSync(threemf({ '3D/3dmodel.model': xml })), { level: 0 }),
};

/** The same mesh packed by the library that unpacks it. */
async function packed(how: 'draco' | 'meshopt'): Promise<Uint8Array> {
  await MeshoptEncoder.ready;
  const io = new WebIO()
    .registerExtensions([KHRDracoMeshCompression, EXTMeshoptCompression, KHRMeshQuantization])
    .registerDependencies({
      'draco3d.encoder': await draco.createEncoderModule({}),
      'meshopt.encoder': MeshoptEncoder,
    });
  const document = await io.readBinary(glb(mesh));
  if (how === 'draco') document.createExtension(KHRDracoMeshCompression).setRequired(true);
  else document.createExtension(EXTMeshoptCompression).setRequired(true);
  return io.writeBinary(document);
}

/** A small generator with a printed seed (mulberry32, public domain). */
function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
}

const LIES = [0, 1, 2, 0x7f, 0x80, 0xff, 0xffff, 0x7fffffff, 0x80000000, 0xffffffff, 0x7f800000, 0x7fc00000];
const WORDS = [
  '999999999',
  '-1',
  'nan',
  '1e308',
  '1e-320',
  '"',
  '<',
  '{',
  '[',
  '\n',
  '\0',
  ' ',
  '-',
  '0x7',
  '/',
  '\\',
  ',',
  'solid',
  'vertex',
  'f 1 2 3',
  '4294967295',
];

function broken(bytes: Uint8Array, random: () => number): Uint8Array {
  const pick = (n: number): number => Math.floor(random() * n);
  let out: Uint8Array = bytes.slice();
  for (let changes = 1 + pick(4); changes > 0; changes--) {
    const at = pick(out.length);
    const kind = pick(8);
    if (kind === 0) out[at]! ^= 1 << pick(8);
    else if (kind === 1) out[at] = pick(256);
    else if (kind === 2) out = out.slice(0, at);
    else if (kind === 3 && out.length > 4) {
      const lie = LIES[pick(LIES.length)]!;
      new DataView(out.buffer).setUint32(Math.min(at, out.length - 4), lie, random() < 0.5);
    } else if (kind === 4) {
      const word = bytesOf(WORDS[pick(WORDS.length)]!);
      out.set(word.subarray(0, out.length - at), at);
    } else if (kind === 5) out = spliced(out, at, bytesOf(WORDS[pick(WORDS.length)]!), 0);
    else if (kind === 6) out = spliced(out, at, out.slice(at, at + pick(200)), 0);
    else out = spliced(out, at, new Uint8Array(0), pick(200));
    if (out.length === 0) return out;
  }
  return out;
}

function spliced(bytes: Uint8Array, at: number, insert: Uint8Array, remove: number): Uint8Array {
  const tail = bytes.subarray(Math.min(bytes.length, at + remove));
  const out = new Uint8Array(at + insert.length + tail.length);
  out.set(bytes.subarray(0, at));
  out.set(insert, at);
  out.set(tail, at + insert.length);
  return out;
}

/** Breaks the XML inside instead of the archive around it, which would mostly end at the first check. */
function brokenInside(random: () => number): Uint8Array {
  return zipSync({ '3D/3dmodel.model': broken(bytesOf(xml), random) });
}

async function check(name: string, bytes: Uint8Array): Promise<boolean> {
  const before = performance.now();
  const out = await importPart(
    { name, bytes, draco: () => draco.createDecoderModule({}) },
    { limits: LIMITS },
  );
  expect(performance.now() - before).toBeLessThan(MOST_MILLISECONDS);
  if (!out.ok) {
    expect(out.problems.length).toBeGreaterThan(0);
    for (const p of out.problems) expect(p.message).toMatch(/^\S.*[.?!]$/s);
    return false;
  }
  const { mesh: surface, group, groupNames, body, bodies } = out.value;
  expect(surface.triangles.length).toBeGreaterThan(0);
  expect(surface.triangles.length / 3).toBeLessThanOrEqual(4 * LIMITS.triangles);
  expect(group).toHaveLength(surface.triangles.length / 3);
  for (const v of surface.triangles) expect(v < surface.vertices.length / 3).toBe(true);
  for (const x of surface.vertices) expect(Number.isFinite(x)).toBe(true);
  for (const g of group) expect(groupNames[g]).toBeDefined();
  for (const b of body) expect(b >= 0 && b < bodies).toBe(true);
  const { area, volume } = measure(surface);
  expect(area > 0 && Number.isFinite(area)).toBe(true);
  expect(Number.isFinite(volume)).toBe(true);
  return true;
}

test(`nothing breaks the readers (seed ${SEED}, ${ROUNDS} rounds)`, async () => {
  SEEDS['draco.glb'] = await packed('draco');
  SEEDS['meshopt.glb'] = await packed('meshopt');
  const names = Object.keys(SEEDS);
  for (const name of names) expect(await check(name, SEEDS[name]!), name).toBe(true);
  const random = randomFrom(SEED);
  const accepted: Record<string, number> = {};
  const heap = process.memoryUsage().heapUsed + process.memoryUsage().arrayBuffers;
  for (let round = 0; round < ROUNDS; round++) {
    const name = names[round % names.length]!;
    const bytes = name === 'part.3mf' && random() < 0.8 ? brokenInside(random) : broken(SEEDS[name]!, random);
    try {
      if (await check(name, bytes)) accepted[name] = (accepted[name] ?? 0) + 1;
    } catch (error) {
      const sample = Buffer.from(bytes).toString('base64').slice(0, 4000);
      throw new Error(`round ${round}, seed ${SEED}, ${name}: ${(error as Error).stack}\n${sample}`);
    }
  }
  const grown = process.memoryUsage().heapUsed + process.memoryUsage().arrayBuffers - heap;
  expect(grown).toBeLessThan(500 * 2 ** 20);
  // Both outcomes must occur, or the fuzzer tests one of them only.
  for (const name of names) {
    expect(accepted[name] ?? 0, name).toBeGreaterThan(0);
    expect(accepted[name]!, name).toBeLessThan(ROUNDS / names.length);
  }
});
