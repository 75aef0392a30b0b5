import { describe, expect, test } from 'vitest';
import { sharedJson, sharedPath, sharedThere } from '../../../test/fixtures/shared.js';
import { openPartFile } from '../../cli/part-file.js';
import { type Measures, measure, measureBelow } from '../measure.js';
import { type ImportedPart, importPart, readMesh } from './part.js';

/**
 * Other people's part files against figures of an independent reader (a numpy script, cross-checked with open3d, assimp
 * and admesh): ../shared/meshes/reference.json. Vertices as stored, no repair, file units.
 */
interface Reference {
  file: string;
  expect: string;
  unit: string;
  triangles?: number;
  area?: number | null;
  signed_volume?: number;
  bbox_min?: number[];
  bbox_max?: number[];
  watertight?: boolean;
  oriented_closed?: boolean;
  'watertight_after_weld_1e-5_diag'?: boolean;
  components?: number;
  degenerate_index_triangles?: number;
  immersed_z?: Record<string, { z: number; area: number; volume: number }>;
}

const there = sharedThere('meshes', 'reference.json');
const cases = there ? (sharedJson('meshes', 'reference.json') as { cases: Reference[] }).cases : [];
const nameOf = (c: Reference): string => c.file.replace(/^open\//, '');
const find = (part: string): Reference => cases.find((c) => c.file.includes(part))!;

const sound = cases.filter((c) => /^(ok|warn-scale)/.test(c.expect) && c.watertight && c.oriented_closed);
const cracked = cases.filter((c) => c.watertight === false && c['watertight_after_weld_1e-5_diag']);

interface Wanted {
  kinds?: string[];
  codes?: string[];
  closed?: boolean;
  area?: number;
  volume?: number;
  within?: number;
}

/** Files that are repaired: what is counted, what is told, and the true figures where they are known. */
const DAMAGED: [string, Wanted][] = [
  ['multibody.stl', { kinds: ['inverted-body', 'flipped-faces'], closed: true }],
  ['normal-directions-bad', { kinds: ['flipped-faces'], closed: true, volume: 3.937007874 ** 3 }],
  ['wall_mount_inverted', { kinds: ['inverted-body'], closed: true, area: 750.1297244, volume: 1235.65827 }],
  [
    'torus_every_face_twice',
    { kinds: ['duplicate-faces'], closed: true, area: 1273.793862, volume: 1791.816332 },
  ],
  ['remove-unconnected-bad', { kinds: ['stray-pieces'], closed: true }],
  [
    'button_count_too_small',
    { codes: ['facet-count-wrong'], closed: true, area: 124.01801, volume: 53.53613 },
  ],
  [
    'button_decimal_comma',
    { codes: ['decimal-comma'], closed: true, area: 124.0180204, volume: 53.53613599 },
  ],
  ['button_far_from_origin', { codes: ['coarse-coordinates'], closed: true }],
  [
    'button_one_nan',
    { kinds: ['non-finite-faces', 'holes-closed'], closed: true, area: 124.01801, volume: 53.53613 },
  ],
  [
    'screw_through_bracket',
    { codes: ['overlapping-bodies'], closed: true, area: 986.7849966, volume: 1361.43247 },
  ],
  ['sphereWithHole', { kinds: ['holes-closed'], closed: true, area: 27.41872097, within: 0.01 }],
  ['3DSMaxExport', { codes: ['touching-edges', 'open-surface'], closed: false, area: 1734.415734 }],
  ['deg_faces', { kinds: ['degenerate-faces'], codes: ['open-surface'], closed: false, area: 0.09883890003 }],
  ['non_manifold_wrap', { codes: ['touching-edges', 'open-surface'], closed: false, area: 4.295445115 }],
  ['concave_polygon', { codes: ['open-surface'], closed: false, area: 0.2454966872 }],
  ['malformed.obj', { kinds: ['bad-index-faces'], closed: false }],
  ['IndexOutOfRange.gltf', { kinds: ['bad-index-faces'], closed: false, area: 5.5 }],
  ['quad_skin', { codes: ['skin-ignored'], closed: false }],
  [
    'front_quantized',
    { codes: ['touching-edges'], closed: true, area: 0.00283378181, volume: 1.0282984e-6, within: 1e-3 },
  ],
];

/** Files that are refused, and why. */
const REFUSED: [string, string][] = [
  ['inf_nan.obj', 'no-surface'],
  ['number_formats.obj', 'no-surface'],
  ['empty.stl', 'no-triangles'],
  ['empty_nodes.glb', 'no-triangles'],
  ['ply_points_bin', 'no-triangles'],
  ['pyramid.3mf', 'no-triangles'],
  ['issue623.ply', 'no-triangles'],
  ['RecursiveNodes', 'scene-unsound'],
  ['truncated_midrecord', 'file-cut-short'],
  ['zip_ratio_1000', 'archive-expands-too-far'],
  ['doctype_entity', 'doctype-refused'],
  ['uri_path_traversal', 'address-refused'],
];

async function open(c: Reference) {
  const file = await openPartFile(sharedPath('meshes', ...nameOf(c).split('/')));
  if (!file.ok) throw new Error(nameOf(c));
  return file.value;
}

/** Figures in file units, so that they compare with the reference whatever unit was taken. */
async function accepted(
  c: Reference,
): Promise<Measures & { part: ImportedPart; kinds: string[]; codes: string[] }> {
  const out = await importPart(await open(c));
  if (!out.ok) throw new Error(`${nameOf(c)} refused: ${JSON.stringify(out.problems)}`);
  const u = out.value.unit.metres;
  const vertices = out.value.mesh.vertices.map((x) => x / u);
  return {
    ...measure({ ...out.value.mesh, vertices }),
    part: { ...out.value, mesh: { ...out.value.mesh, vertices } },
    kinds: out.value.repairs.map((r) => r.kind),
    codes: out.warnings.map((w) => w.code),
  };
}

const within = (got: number, wanted: number, relative: number, scale = Math.abs(wanted)): void => {
  expect(Math.abs(got - wanted)).toBeLessThanOrEqual(relative * scale);
};

describe.skipIf(!there)('sound files', () => {
  test.each(sound.map((c) => [nameOf(c), c] as const))('%s', async (_name, c) => {
    const got = await accepted(c);
    within(got.area, c.area!, 1e-8);
    within(got.volume, c.signed_volume!, 1e-8);
    const size = Math.hypot(...c.bbox_max!.map((x, k) => x - c.bbox_min![k]!));
    for (const k of [0, 1, 2]) {
      within(got.bounds.min[k]!, c.bbox_min![k]!, 1e-8, size);
      within(got.bounds.max[k]!, c.bbox_max![k]!, 1e-8, size);
    }
    expect(got.part.closed).toBe(true);
    expect(got.part.mesh.triangles.length / 3).toBe(c.triangles! - c.degenerate_index_triangles!);
    // The reference welds instances that touch into one component; here each stays a body.
    expect(got.part.bodies).toBeGreaterThanOrEqual(c.components!);
    if (!nameOf(c).includes('cube_att')) expect(got.part.bodies).toBe(c.components);
    expect(got.kinds.filter((k) => k !== 'degenerate-faces')).toEqual([]);
  });

  test.each(sound.filter((c) => c.immersed_z).map((c) => [nameOf(c), c] as const))(
    '%s, half immersed',
    async (_name, c) => {
      const { part } = await accepted(c);
      for (const level of Object.values(c.immersed_z!)) {
        const below = measureBelow(part.mesh, level.z);
        within(below.area, level.area, 1e-6);
        within(below.volume, level.volume, 1e-6);
      }
    },
  );
});

describe.skipIf(!there)('files with cracks that a weld of 1e-5 of the size closes', () => {
  test.each(cracked.map((c) => [nameOf(c), c] as const))('%s', async (_name, c) => {
    const got = await accepted(c);
    expect(got.part.closed).toBe(true);
    expect(got.kinds).toContain('weld');
    within(got.area, c.area!, 1e-6);
    within(got.volume, c.signed_volume!, 1e-6);
  });
});

describe.skipIf(!there)('units', () => {
  test.each([
    ['Party_Button', 'mm'],
    ['Tech_Case_Top', 'm'],
    ['octagonal_pocket', 'm'],
    ['button_in_metres', 'm'],
    ['testplate.glb', 'm'],
    ['pins.glb', 'mm'],
    ['ring62', 'mm'],
  ])('%s is read in %s', async (name, unit) => {
    expect((await accepted(find(name))).part.unit.unit).toBe(unit);
  });
});

describe.skipIf(!there)('damaged files that are repaired, with what is told', () => {
  test.each(DAMAGED)('%s', async (name, wanted) => {
    const got = await accepted(find(name));
    expect(got.kinds).toEqual(expect.arrayContaining(wanted.kinds ?? []));
    expect(got.codes).toEqual(expect.arrayContaining(wanted.codes ?? []));
    expect(got.part.closed).toBe(wanted.closed);
    if (wanted.area) within(got.area, wanted.area, wanted.within ?? 1e-6);
    if (wanted.volume) within(got.volume, wanted.volume, wanted.within ?? 1e-6);
  });
});

describe.skipIf(!there)('files that are refused, and why', () => {
  test.each(REFUSED)('%s: %s', async (name, code) => {
    const out = await importPart(await open(find(name)));
    expect(out.ok ? [] : out.problems.map((p) => p.code)).toEqual([code]);
  });
});

test.skipIf(!there)('every file of the collection is in one of the lists above', () => {
  const listed = new Set([...sound, ...cracked].map(nameOf));
  const named = [...DAMAGED, ...REFUSED].map(([name]) => name);
  const missing = cases.map(nameOf).filter((n) => !listed.has(n) && !named.some((part) => n.includes(part)));
  expect(missing).toEqual([]);
  expect(cases.length).toBeGreaterThan(60);
});

test.skipIf(!there)('a mesh can be had as it is, with its groups', async () => {
  const raw = await readMesh(await open(find('cube_gears')));
  expect(raw.ok && raw.value.triangles.length / 3).toBe(25692);
  expect(raw.ok && new Set(raw.value.group).size).toBe(17);
});
