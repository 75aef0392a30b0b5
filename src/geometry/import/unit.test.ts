import { describe, expect, test } from 'vitest';
import { asciiStl, box, glb, imported, refusal } from '../../../test/fixtures/meshes.js';
import { writeObj, writePly, writeStl } from '../export/index.js';
import { unitInWords } from './unit.js';

const asRead = { unit: undefined as never };
/** An OBJ file of a cube with the given side in file units and no word about them. */
const cube = (side: number): string => writeObj(box(side, side, side)).replace(/#.*\n/, '');

describe('files that do not say their unit', () => {
  test.each([
    [20, 'mm'],
    [1.2, 'mm'],
    [499, 'mm'],
    [0.05, 'm'],
    [0.0079, 'm'],
    [0.7, 'in'],
    [2000, 'mm'],
  ])('a side of %d is read as %s, with the reason and the way out', async (side, unit) => {
    const part = await imported('a.obj', cube(side), asRead);
    expect(part.part.unit).toMatchObject({ unit, saidBy: 'size' });
    expect(part.part.unit.reason).toMatch(/largest side/);
    expect(part.warnings).toContain('unit-guessed');
  });

  test('what the person says wins and is not doubted where the size is likely', async () => {
    const part = await imported('a.obj', cube(2), { unit: 'in' });
    expect(part.volume).toBeCloseTo((2 * 0.0254) ** 3, 15);
    expect(part.warnings).toEqual([]);
    const large = await imported('a.obj', cube(2), { unit: 'm' });
    expect(large.warnings).toEqual(['unusual-size']);
  });

  test('sizes that are no part in any unit are refused', async () => {
    expect(await refusal('a.obj', cube(1e9), asRead)).toEqual(['absurd-size']);
    expect(await refusal('a.obj', cube(1e-9), asRead)).toEqual(['absurd-size']);
    expect(await refusal('a.obj', cube(1e-30), asRead)).toEqual(['absurd-size']);
  });
});

test('a unit written into a header or a comment is found', () => {
  const found = (text: string) => unitInWords(text)?.unit;
  expect(found('solid ring, units=mm')).toBe('mm');
  expect(found('# The units used in this file are centimeters.')).toBe('cm');
  expect(found('Unit: inch')).toBe('in');
  expect(found('unit "m"')).toBe('m');
  expect(found('united mmm, units sold: 5')).toBeUndefined();
  expect(found('COLOR=abcd MATERIAL=')).toBeUndefined();
});

test('far from the origin single precision rounds the shape, and that is told', async () => {
  const far = await imported('a.stl', writeStl(box(8, 8, 8, [3e6, 0, 0]), 1), { unit: 'mm' });
  expect(far.warnings).toContain('coarse-coordinates');
  const near = await imported('a.stl', writeStl(box(8, 8, 8, [100, 0, 0]), 1), { unit: 'mm' });
  expect(near.warnings).not.toContain('coarse-coordinates');
  const exact = await imported('a.obj', writeObj(box(8.1, 8, 8, [3e6, 0, 0])), { unit: 'mm' });
  expect(exact.warnings).not.toContain('coarse-coordinates');
});

test('the bytes decide what a file is, not its name', async () => {
  const block = box(2, 3, 4);
  const stl = asciiStl(block);
  const wide = new Uint8Array(2 + 2 * stl.length);
  wide.set([0xff, 0xfe]);
  for (let i = 0; i < stl.length; i++) wide[2 + 2 * i] = stl.charCodeAt(i);
  const contents = [
    stl,
    writeObj(block),
    writePly(block),
    writeStl(block, 1),
    glb(block),
    `\ufeff${stl}`,
    wide,
  ];
  for (const name of ['a', 'a.stl', 'a.obj', 'a.ply', 'a.glb', 'a.3mf', 'a.step'])
    for (const content of contents)
      expect(await imported(name, content)).toMatchObject({ closed: true, triangles: 12 });
});

test('other files are named for what they are', async () => {
  for (const text of ['ISO-10303-21;\nHEADER;', '%PDF-1.4', 'OFF\n8 6 0', '<?xml?><COLLADA>', 'G90\nG1 X1'])
    expect(await refusal('part.bin', text)).toEqual(['format-not-read']);
  expect(await refusal('part', 'just words')).toEqual(['format-not-read']);
});
