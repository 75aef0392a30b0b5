import { expect, test } from 'vitest';
import { box, imported, refusal } from '../../../test/fixtures/meshes.js';
import { writeObj } from '../export/index.js';

const CUBE = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => `v ${i & 1} ${(i >> 1) & 1} ${i >> 2}`).join('\n');
const QUADS = ['1 3 4 2', '5 6 8 7', '1 2 6 5', '3 7 8 4', '1 5 7 3', '2 4 8 6'];

test('quadrilaterals, texture and normal numbers, continued lines, comments, a fourth coordinate', async () => {
  const faces = QUADS.map((q) => `f ${q.replace(/\d+/g, (n) => `${n}/7/9`).replace(' ', ' \\\r\n ')}`);
  const text = `# made by hand\r\n${CUBE.replace(/v .*/g, (v) => `${v} 1.0`)}\r\n${faces.join('\r\n')}`;
  expect(await imported('a.obj', text)).toMatchObject({ area: 6, volume: 1, closed: true, triangles: 12 });
});

test('negative numbers count back from the last point read so far', async () => {
  const back = QUADS.map((q) => `f ${q.replace(/\d+/g, (n) => `${Number(n) - 9}`)}`).join('\n');
  expect(await imported('a.obj', `${CUBE}\n${back}\nv 9 9 9`)).toMatchObject({
    area: 6,
    volume: 1,
    closed: true,
  });
});

test('faces may come before their points', async () => {
  expect(await imported('a.obj', `${QUADS.map((q) => `f ${q}`).join('\n')}\n${CUBE}`)).toMatchObject({
    volume: 1,
  });
});

test('groups keep their names: g before o before usemtl, faces without one are "default"', async () => {
  const face = (i: number): string => `f ${QUADS[i]}`;
  const rest = [3, 4, 5].map(face).join('\n');
  const grouped = `${CUBE}\no body\ng cathode extra\n${face(0)}\nusemtl red\ng anode\n${face(1)}\ng cathode\n${face(2)}\n${rest}`;
  const part = await imported('a.obj', grouped);
  expect(part.groupNames).toEqual(['cathode', 'anode']);
  expect([...part.part.group].filter((g) => g === 1)).toHaveLength(2);
  expect(
    (await imported('a.obj', `${CUBE}\no body\nusemtl red\n${QUADS.map((q) => `f ${q}`).join('\n')}`))
      .groupNames,
  ).toEqual(['body']);
  const late = await imported(
    'a.obj',
    `${CUBE}\n${face(0)}\ng wall\n${[1, 2, 3, 4, 5].map(face).join('\n')}`,
  );
  expect(late.groupNames).toEqual(['default', 'wall']);
});

test('an L-shaped face has the area of the L', async () => {
  const outline = [
    [0, 0],
    [2, 0],
    [2, 1],
    [1, 1],
    [1, 2],
    [0, 2],
  ];
  const text = `${outline.map(([x, y]) => `v ${x} ${y} 0`).join('\n')}\nf 1 2 3 4 5 6`;
  expect((await imported('a.obj', text)).area).toBeCloseTo(3, 12);
});

test('faces that name no point are left out and counted; a file of nothing else is refused', async () => {
  const all = QUADS.map((q) => `f ${q}`).join('\n');
  const bad = await imported('a.obj', `${CUBE}\n${all}\nf 0 1 2\nf 1 2 99\nf 1 2\nf x y z`);
  expect(bad).toMatchObject({ volume: 1, repairs: { 'bad-index-faces': 4 } });
  expect(await refusal('a.obj', `${CUBE}\nf 1 2 99`)).toEqual(['no-triangles']);
  expect(await refusal('a.obj', CUBE)).toEqual(['no-triangles']);
  expect(await refusal('a.obj', 'v nan inf 0\nv 0 0 1\nv 0 1 0\nf 1 2 3')).toEqual(['no-surface']);
});

test('a unit named in a comment is taken, decimal commas are told', async () => {
  const inches = await imported('a.obj', `# Units: inches\n${writeObj(box(1, 1, 1)).replace(/#.*\n/, '')}`, {
    unit: undefined as never,
  });
  expect(inches.area).toBeCloseTo(6 * 0.0254 ** 2, 12);
  const comma = await imported('a.obj', writeObj(box(0.5, 1.5, 1)).replaceAll('.', ','));
  expect(comma.volume).toBeCloseTo(0.75, 12);
  expect(comma.warnings).toContain('decimal-comma');
});
