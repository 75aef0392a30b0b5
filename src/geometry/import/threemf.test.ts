import { strToU8, zipSync } from 'fflate';
import { expect, test } from 'vitest';
import { box, imported, meshXml, model, oneObject, refusal, threemf } from '../../../test/fixtures/meshes.js';

const block = box(2, 3, 4);
const ROOT = '3D/3dmodel.model';
const file = (xml: string): Uint8Array => threemf({ [ROOT]: xml });
const AREA = 52e-6;
const asStated = { unit: undefined as never };

test('the unit is stated, millimetres where nothing is said', async () => {
  for (const [unit, metres] of [
    ['millimeter', 1e-3],
    ['inch', 0.0254],
    ['foot', 0.3048],
    ['micron', 1e-6],
    ['centimeter', 0.01],
    ['meter', 1],
  ] as const)
    expect(
      (await imported('a.3mf', file(model(oneObject(block), `unit="${unit}"`)), asStated)).volume,
    ).toBeCloseTo(24 * metres ** 3, 12);
  expect((await imported('a.3mf', file(model(oneObject(block), '')), asStated)).area).toBeCloseTo(AREA, 12);
  expect(await refusal('a.3mf', file(model(oneObject(block), 'unit="parsec"')))).toEqual(['unit-unknown']);
});

test('items and components carry transforms, mirrored ones stay right side out', async () => {
  const xml = `<resources><object id="1">${meshXml(block)}</object><object id="2" name="pair"><components>
    <component objectid="1"/><component objectid="1" transform="-1 0 0 0 1 0 0 0 1 -5 0 0"/></components></object></resources>
    <build><item objectid="2" transform="2 0 0 0 2 0 0 0 2 0 0 0"/><item objectid="1" transform="1 0 0 0 1 0 0 0 1 50 0 0"/></build>`;
  const part = await imported('a.3mf', file(model(xml)), asStated);
  expect(part).toMatchObject({ bodies: 3, closed: true, repairs: {} });
  expect(part.volume * 1e9).toBeCloseTo(24 * (8 + 8 + 1), 9);
  expect(part.bounds.min[0]! * 1e3).toBeCloseTo(2 * (-5 - 2), 9);
});

test('the production extension: components in other model files of the package', async () => {
  const root = model(
    '<resources><object id="9"><components><component p:path="/3D/Objects/a.model" objectid="1"/></components></object></resources><build><item objectid="9"/></build>',
    'unit="millimeter" requiredextensions="p"',
  );
  const other = model(`<resources><object id="1">${meshXml(block)}</object></resources>`);
  const part = await imported('a.3mf', threemf({ [ROOT]: root, '3D/Objects/a.model': other }), asStated);
  expect(part).toMatchObject({ closed: true });
  expect(part.warnings.filter((w) => w === 'extension-ignored')).toEqual([]);
});

test('objects that contain themselves, or double without end, are refused', async () => {
  const circle =
    '<resources><object id="1"><components><component objectid="2"/></components></object><object id="2"><components><component objectid="1"/></components></object></resources><build><item objectid="1"/></build>';
  expect(await refusal('a.3mf', file(model(circle)))).toEqual(['objects-in-a-circle']);
  const doubling = Array.from(
    { length: 40 },
    (_, i) =>
      `<object id="${i + 2}"><components><component objectid="${i + 1}"/><component objectid="${i + 1}"/></components></object>`,
  ).join('');
  const bomb = `<resources><object id="1">${meshXml(block)}</object>${doubling}</resources><build><item objectid="41"/></build>`;
  expect(await refusal('a.3mf', file(model(bomb)))).toEqual(['too-many-instances']);
});

test('supports are left out, lattices are told, a missing object is told', async () => {
  const xml = `<resources><object id="1">${meshXml(block)}</object><object id="2" type="support">${meshXml(box(9, 9, 9))}</object>
    <object id="3">${meshXml(block).replace('</mesh>', '<b:beamlattice><b:beams><b:beam v1="0" v2="1"/></b:beams></b:beamlattice></mesh>')}</object></resources>
    <build><item objectid="1"/><item objectid="2"/><item objectid="3" transform="1 0 0 0 1 0 0 0 1 9 0 0"/><item objectid="77"/></build>`;
  const part = await imported('a.3mf', file(model(xml)), asStated);
  expect(part.bodies).toBe(2);
  expect(part.warnings).toEqual(
    expect.arrayContaining(['supports-left-out', 'shape-not-read', 'object-missing']),
  );
});

test('elements of other namespaces with the same names are not geometry', async () => {
  const foreign =
    '<b:vertices><b:vertex x="99" y="0" z="0"/></b:vertices><b:triangles><b:triangle v1="0" v2="1" v3="2"/></b:triangles>';
  const xml = oneObject(block).replace('</mesh>', `${foreign}</mesh>`);
  expect(await imported('a.3mf', file(model(xml)), asStated)).toMatchObject({ triangles: 12, closed: true });
});

test('document types and entities are refused, and so is XML that is none', async () => {
  const xml = model(oneObject(block));
  const doctype = xml.replace('?>', '?><!DOCTYPE model [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>');
  expect(await refusal('a.3mf', file(doctype))).toEqual(['doctype-refused']);
  expect(await refusal('a.3mf', file(xml.replace('block', '&b;')))).toEqual(['model-unreadable']);
  expect(await refusal('a.3mf', file(xml.slice(0, 900)))).toEqual(['model-unreadable']);
  expect(await refusal('a.3mf', file('no xml at all'))).toEqual(['model-unreadable']);
  const numbers = await imported('a.3mf', file(xml.replace('v1="0"', 'v1="0x0"')), asStated);
  expect(numbers.repairs['bad-index-faces']).toBe(1);
});

test('archives: traps by ratio and size, sizes that lie, no model, a plain archive of a part', async () => {
  const xml = model(oneObject(block));
  const padded = xml.replace('</model>', `${' '.repeat(2 ** 25)}</model>`);
  expect(await refusal('a.3mf', file(padded))).toEqual(['archive-expands-too-far']);
  expect(await refusal('a.3mf', file(xml), { limits: { unpacked: 500 } })).toEqual([
    'archive-expands-too-far',
  ]);
  const lying = file(xml);
  const view = new DataView(lying.buffer);
  for (let i = 0; i + 46 < lying.length; i++)
    if (view.getUint32(i, true) === 0x02014b50 && view.getUint16(i + 28, true) === ROOT.length)
      view.setUint32(i + 24, 40, true);
  expect(await refusal('a.3mf', lying)).toEqual(['archive-damaged']);
  const stored = zipSync({ [ROOT]: [strToU8(xml), { level: 0 }] });
  expect(await imported('a.3mf', stored, asStated)).toMatchObject({ closed: true });
  stored[Buffer.from(stored).indexOf('x="2"') + 3] = '9'.charCodeAt(0);
  expect(await refusal('a.3mf', stored)).toEqual(['archive-damaged']);
  expect(await refusal('a.3mf', zipSync({ 'readme.txt': strToU8('hello') }))).toEqual(['no-model']);
  expect(await refusal('a.zip', zipSync({ 'part.stl': strToU8('solid') }))).toEqual(['archive-of-files']);
  expect(await refusal('a.3mf', file(xml).slice(0, 400))).toEqual(['archive-damaged']);
});
