import { mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { box, gltf } from '../../../test/fixtures/meshes.js';
import { writeStl } from '../../geometry/index.js';
import { measure } from './measure.js';

let folder = '';
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'measure-'));
  writeFileSync(join(folder, 'block.stl'), writeStl(box(20, 30, 40), 1));
});
afterAll(() => rmSync(folder, { recursive: true }));

const run = (name: string, unit?: string) =>
  measure.run([join(folder, name)], unit === undefined ? {} : { unit });

test('prints what the contract promises, in SI', async () => {
  const result = await run('block.stl', 'mm');
  expect(result.status).toBe('done');
  expect(result).toMatchObject({
    json: { triangles: 12, closed: true, bodies: 1, repairs: [], unit: 'mm', bounds: { min: [0, 0, 0] } },
  });
  const { area, volume, bounds } = (
    result as { json: { area: number; volume: number; bounds: { max: number[] } } }
  ).json;
  expect(area).toBeCloseTo(5.2e-3, 12);
  expect(volume).toBeCloseTo(2.4e-5, 14);
  expect(bounds.max).toEqual([0.02, 0.03, 0.04].map((x) => expect.closeTo(x, 12)));
});

test('refuses what it cannot read with a problem', async () => {
  const codes = async (name: string, unit?: string) => {
    const result = await run(name, unit);
    return result.status === 'refused' ? result.problems.map((p) => p.code) : result.status;
  };
  expect(await codes('missing.stl')).toEqual(['file-unreadable']);
  expect(await codes('.')).toEqual(['file-unreadable']);
  expect(await codes('block.stl', 'ft')).toEqual(['unit-unknown']);
  expect(await codes('block.stl', 'cubit')).toEqual(['unit-unknown']);
});

test('a file beside the part is read, one reached by a link out of the folder is not', async () => {
  let data = Buffer.alloc(0);
  const text = gltf(box(0.1, 0.1, 0.1), (json) => {
    data = Buffer.from(json.buffers[0].uri.split(',')[1], 'base64');
    json.buffers[0].uri = 'block.bin';
  });
  writeFileSync(join(folder, 'a.gltf'), text);
  expect((await run('a.gltf')).status).toBe('refused');
  const outside = mkdtempSync(join(tmpdir(), 'outside-'));
  writeFileSync(join(outside, 'block.bin'), data);
  symlinkSync(join(outside, 'block.bin'), join(folder, 'block.bin'));
  expect((await run('a.gltf')).status).toBe('refused');
  rmSync(join(folder, 'block.bin'));
  rmSync(outside, { recursive: true });
  writeFileSync(join(folder, 'block.bin'), data);
  expect(await run('a.gltf')).toMatchObject({ status: 'done', json: { unit: 'm', closed: true } });
});
