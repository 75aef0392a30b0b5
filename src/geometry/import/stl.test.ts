import { describe, expect, test } from 'vitest';
import {
  asciiStl,
  ball,
  box,
  bytesOf,
  imported,
  joined,
  loose,
  refusal,
} from '../../../test/fixtures/meshes.js';
import { writeStl } from '../export/index.js';

const block = box(2, 3, 4);
const AREA = 2 * (6 + 8 + 12);
const VOLUME = 24;

/** Binary STL of the block in metres, changed by hand. */
function binary(
  change: (view: DataView) => void = () => {},
  extra: Uint8Array = new Uint8Array(0),
): Uint8Array {
  const bytes = writeStl(block, 1);
  const out = new Uint8Array(bytes.length + extra.length);
  out.set(bytes);
  out.set(extra, bytes.length);
  change(new DataView(out.buffer));
  return out;
}

describe('binary', () => {
  test('a header that begins with "solid" is still binary', async () => {
    const bytes = binary();
    bytes.set(bytesOf('solid part facet normal'));
    expect(await imported('a.stl', bytes)).toMatchObject({
      area: AREA,
      volume: VOLUME,
      closed: true,
      triangles: 12,
    });
  });

  test('a facet count that is too small does not lose facets, trailing bytes and padding are ignored', async () => {
    const few = await imported(
      'a.stl',
      binary((v) => v.setUint32(80, 3, true)),
    );
    expect(few).toMatchObject({ area: AREA, closed: true });
    expect(few.warnings).toContain('facet-count-wrong');
    for (const extra of [1, 49, 50, 100, 137]) {
      const padded = await imported('a.stl', binary(undefined, new Uint8Array(extra)));
      expect(padded).toMatchObject({ area: AREA, closed: true, triangles: 12 });
      expect(padded.warnings).toContain('trailing-bytes');
    }
    const junk = await imported('a.stl', binary(undefined, new Uint8Array(100).fill(0x7f)));
    expect(junk).toMatchObject({ area: AREA, closed: true });
  });

  test('a count that is too large is forgiven if nothing is missing, refused if something is', async () => {
    const much = await imported(
      'a.stl',
      binary((v) => v.setUint32(80, 0xffffffff, true)),
    );
    expect(much).toMatchObject({ area: AREA, closed: true });
    expect(much.warnings).toContain('count-wrong');
    expect(await refusal('a.stl', binary().slice(0, 84 + 50 * 7 + 20))).toEqual(['file-cut-short']);
    expect(await refusal('a.stl', binary().slice(0, 60))).toEqual(['file-cut-short']);
    expect(await refusal('a.stl', binary().slice(0, 84))).toEqual(['file-cut-short']);
  });

  test('one NaN costs one facet, and the single-facet hole is closed again where it is small', async () => {
    const sphere = ball(1, 12);
    const bytes = writeStl(sphere, 1);
    new DataView(bytes.buffer).setFloat32(84 + 50 * 100 + 20, Number.NaN, true);
    const whole = await imported('a.stl', writeStl(sphere, 1));
    const healed = await imported('a.stl', bytes);
    expect(healed.repairs).toEqual({ 'non-finite-faces': 1, 'holes-closed': 1 });
    expect(healed.area).toBeCloseTo(whole.area, 6);
    expect(healed.closed).toBe(true);
  });
});

describe('ASCII', () => {
  test.each([
    ['\n', 'line feeds'],
    ['\r\n', 'both'],
    ['\r', 'bare carriage returns'],
    [' ', 'everything on one line'],
  ])('line ends %j (%s)', async (lineEnd) => {
    expect(await imported('a.stl', asciiStl(block, 'my part', lineEnd))).toMatchObject({
      area: AREA,
      volume: VOLUME,
      closed: true,
      groupNames: ['my part'],
    });
  });

  test('decimal commas, commas between, capitals and tabs', async () => {
    const text = asciiStl(block);
    const comma = await imported('a.stl', text.replaceAll('.', ','));
    expect(comma).toMatchObject({ area: AREA, closed: true });
    expect(comma.warnings).toContain('decimal-comma');
    const between = text.replace(/vertex (\S+) (\S+) (\S+)/g, 'vertex $1,$2,$3');
    expect(await imported('a.stl', between)).toMatchObject({ area: AREA, closed: true });
    expect(await imported('a.stl', text.toUpperCase().replaceAll(' ', '\t'))).toMatchObject({ area: AREA });
  });

  test('several solids keep their names; a solid may be called "facet"', async () => {
    const two = asciiStl(block, 'facet') + asciiStl(box(1, 1, 1, [9, 0, 0]), 'lid');
    expect(await imported('a.stl', two)).toMatchObject({
      bodies: 2,
      area: AREA + 6,
      groupNames: ['facet', 'lid'],
    });
  });

  test('cut short: refused where a facet is missing, forgiven where only the last line is', async () => {
    const text = asciiStl(block);
    expect(await refusal('a.stl', text.slice(0, text.length / 2))).toEqual(['file-cut-short']);
    expect(await imported('a.stl', text.replace(/endsolid.*/, ''))).toMatchObject({
      closed: true,
      area: AREA,
    });
  });

  test('words that are no numbers cost their facets and are told', async () => {
    const sphere = await imported(
      'a.stl',
      asciiStl(loose(ball(1, 12))).replace(/vertex \S+/, 'vertex 1.#IND'),
    );
    expect(sphere.repairs['non-finite-faces']).toBe(1);
    expect(sphere.warnings).toContain('unreadable-numbers');
  });

  test('nothing in it', async () => {
    for (const text of ['solid empty\nendsolid empty', 'solid', 'solid x\nfacet normal 0 0 1\nendfacet'])
      expect(await refusal('a.stl', text)).toEqual(['no-triangles']);
    expect(await refusal('a.stl', '')).toEqual(['file-empty']);
  });
});

test('limits hold before memory is asked for', async () => {
  const many = joined(block, box(1, 1, 1, [9, 9, 9]));
  expect(await refusal('a.stl', writeStl(many, 1), { limits: { triangles: 20 } })).toEqual([
    'too-many-triangles',
  ]);
  expect(await refusal('a.stl', asciiStl(many), { limits: { triangles: 20 } })).toEqual([
    'too-many-triangles',
  ]);
  expect(await refusal('a.stl', writeStl(many, 1), { limits: { bytes: 1000 } })).toEqual(['file-too-large']);
});
