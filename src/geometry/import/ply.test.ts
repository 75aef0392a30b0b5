import fc from 'fast-check';
import { expect, test } from 'vitest';
import { ball, box, bytesOf, imported, refusal } from '../../../test/fixtures/meshes.js';
import { writePly } from '../export/index.js';

const block = box(2, 3, 4);

/** A PLY of the block in any layout: extra properties before and after, list types, byte order, line ends. */
function layout(options: {
  format: string;
  count: string;
  index: string;
  lineEnd: string;
  facesFirst: boolean;
}): Uint8Array {
  const vertices = Array.from({ length: 8 }, (_, i) => [7, ...block.vertices.slice(3 * i, 3 * i + 3), 1, 2]);
  const faces = Array.from({ length: 12 }, (_, t) => [9, 3, ...block.triangles.slice(3 * t, 3 * t + 3)]);
  const vertexHead = [
    'element vertex 8',
    'property uchar flag',
    ...['x', 'y', 'z'].map((a) => `property float ${a}`),
    'property list uchar short tail',
  ];
  const faceHead = [
    'element face 12',
    'property ushort tag',
    `property list ${options.count} ${options.index} vertex_index`,
  ];
  const order = options.facesFirst ? [faceHead, vertexHead] : [vertexHead, faceHead];
  const head = [
    'ply',
    `format ${options.format} 1.0`,
    'comment made by hand',
    ...order.flat(),
    'end_header',
    '',
  ].join(options.lineEnd);
  const data: number[] = [];
  const little = options.format === 'binary_little_endian';
  const put = (value: number, type: string): void => {
    const view = new DataView(new ArrayBuffer(8));
    const write: Record<string, [number, () => void]> = {
      uchar: [1, () => view.setUint8(0, value)],
      char: [1, () => view.setInt8(0, value)],
      short: [2, () => view.setInt16(0, value, little)],
      ushort: [2, () => view.setUint16(0, value, little)],
      int: [4, () => view.setInt32(0, value, little)],
      uint: [4, () => view.setUint32(0, value, little)],
      float: [4, () => view.setFloat32(0, value, little)],
      double: [8, () => view.setFloat64(0, value, little)],
    };
    const [length, fill] = write[type]!;
    fill();
    for (let i = 0; i < length; i++) data.push(view.getUint8(i));
  };
  const rows = (list: number[][], types: (i: number) => string): string[] => {
    for (const row of list) for (const [i, x] of row.entries()) put(x, types(i));
    return list.map((row) => row.join(' '));
  };
  const vertexTypes = (i: number): string => ['uchar', 'float', 'float', 'float', 'uchar', 'short'][i]!;
  const faceTypes = (i: number): string => (i === 0 ? 'ushort' : i === 1 ? options.count : options.index);
  const body = options.facesFirst
    ? [...rows(faces, faceTypes), ...rows(vertices, vertexTypes)]
    : [...rows(vertices, vertexTypes), ...rows(faces, faceTypes)];
  if (options.format === 'ascii') return bytesOf(head + body.join(options.lineEnd));
  return Uint8Array.from([...bytesOf(head), ...data]);
}

test('every layout of lists, byte orders, line ends and element orders reads the same block', async () => {
  const integers = ['uchar', 'char', 'short', 'ushort', 'int', 'uint'];
  await fc.assert(
    fc.asyncProperty(
      fc.record({
        format: fc.constantFrom('ascii', 'binary_little_endian', 'binary_big_endian'),
        count: fc.constantFrom(...integers),
        index: fc.constantFrom(...integers, 'float', 'double'),
        lineEnd: fc.constantFrom('\n', '\r\n', '\r'),
        facesFirst: fc.boolean(),
      }),
      async (options) => {
        const read = await imported('a.ply', layout(options));
        expect(read).toMatchObject({ area: 52, volume: 24, closed: true });
      },
    ),
    { numRuns: 150 },
  );
});

test('triangle strips, several in one list', async () => {
  const text = (strips: string): string =>
    `ply\nformat ascii 1.0\nelement vertex 4\nproperty float x\nproperty float y\nproperty float z\nelement tristrips 1\nproperty list int int vertex_indices\nend_header\n0 0 0\n1 0 0\n0 1 0\n0 0 1\n${strips}\n`;
  // A tetrahedron as one strip of six corners.
  const strip = [0, 2, 1, 3, 0, 2];
  const tetrahedron = await imported('a.ply', text(`6 ${strip.join(' ')}`));
  expect(tetrahedron).toMatchObject({ closed: true, triangles: 4 });
  expect(tetrahedron.volume).toBeCloseTo(1 / 6, 12);
  const parted = await imported('a.ply', text('15 0 2 1 -1 0 1 3 -1 1 2 3 -1 2 0 3'));
  expect(parted).toMatchObject({ closed: true, triangles: 4 });
});

test('written and read again the mesh is the same to the last digit', async () => {
  const mesh = ball(0.03, 9, [1 / 3, 0, -7]);
  const read = await imported(
    'a.ply',
    writePly(mesh, [{ name: 'thickness', values: new Float64Array(mesh.triangles.length / 3) }]),
  );
  expect(read.triangles).toBe(mesh.triangles.length / 3);
  expect(new Set(read.part.mesh.vertices)).toEqual(new Set(mesh.vertices));
});

test('points without faces, counts that lie, headers that make no sense', async () => {
  const head = (more: string): string => `ply\nformat ascii 1.0\n${more}end_header\n0 0 0\n1 0 0\n0 1 0\n`;
  const points = 'element vertex 3\nproperty float x\nproperty float y\nproperty float z\n';
  expect(await refusal('a.ply', head(points))).toEqual(['no-triangles']);
  expect(
    await refusal(
      'a.ply',
      head(`${points}element face 4000000000\nproperty list uchar int vertex_indices\n`),
    ),
  ).toEqual(['file-cut-short']);
  expect(await refusal('a.ply', head(points.replace('3', '99999999999')))).toEqual(['no-triangles']);
  expect(await refusal('a.ply', head('element vertex x\n'))).toEqual(['header-unreadable']);
  expect(await refusal('a.ply', head('property float x\n'))).toEqual(['header-unreadable']);
  expect(await refusal('a.ply', head('element vertex 3\nproperty quaternion x\n'))).toEqual([
    'header-unreadable',
  ]);
  expect(await refusal('a.ply', 'ply\nformat ascii 1.0\nelement')).toEqual(['header-unreadable']);
  expect(await refusal('a.ply', writePly(block).slice(0, -30))).toEqual(['file-cut-short']);
});
