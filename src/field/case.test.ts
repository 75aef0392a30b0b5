import { describe, expect, test } from 'vitest';
import type { Problem } from '../units/index.js';
import { readFieldCase } from './case.js';
import { readObjPatches } from './case-obj.js';
import { surfaceSource } from './case-surface.js';
import { fastOperator } from './fast/index.js';
import { contactRemarks, readProbes, tableRemarks } from './remarks.js';
import { solveField } from './solver.js';
import { panelsPly, panelsVtu } from './write.js';

type Json = Record<string, unknown>;

/** A box of liquid, 1 x 1 x length m, cathode at one end and anode at the other: R = length / conductivity. */
function box(length = 2, n = 2): Json {
  const vertices: number[][] = [];
  const number = new Map<string, number>();
  const vertex = (x: number[]): number => {
    const key = x.map((v) => v.toFixed(9)).join();
    if (!number.has(key)) {
      number.set(key, vertices.length);
      vertices.push(x);
    }
    return number.get(key)!;
  };
  const triangles: number[][] = [];
  const patch: string[] = [];
  const size = [1, 1, length];
  for (let axis = 0; axis < 3; axis++)
    for (const end of [0, 1])
      for (let i = 0; i < n; i++)
        for (let j = 0; j < n; j++) {
          const at = (u: number, v: number): number => {
            const x = [0, 0, 0];
            x[axis] = end * size[axis];
            x[(axis + 1) % 3] = ((i + u) / n) * size[(axis + 1) % 3];
            x[(axis + 2) % 3] = ((j + v) / n) * size[(axis + 2) % 3];
            return vertex(x);
          };
          triangles.push([at(0, 0), at(1, 0), at(1, 1)], [at(0, 0), at(1, 1), at(0, 1)]);
          const name = axis < 2 ? 'wall' : end ? 'anode' : 'cathode';
          patch.push(name, name);
        }
  return {
    conductivity: 4,
    surface: { vertices, triangles, patch },
    patches: {
      cathode: { role: 'cathode', law: { kind: 'fixed' } },
      anode: { role: 'anode', law: { kind: 'fixed' } },
      wall: { role: 'insulator' },
    },
    drive: { current: 1 },
    mesh: 'as-given',
  };
}

function read(input: unknown) {
  const problems: Problem[] = [];
  const source = surfaceSource(input, problems);
  const fieldCase = source?.kind === 'triangles' ? readFieldCase(input, source.surface, problems) : null;
  return { fieldCase, problems };
}

test('a good case is read and solved: the resistance of a bar is length over conductivity and area', () => {
  const { fieldCase, problems } = read(box());
  expect(problems).toEqual([]);
  const outcome = solveField(fieldCase!.problem, { makeOperator: fastOperator() });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { cellVoltage, current, imbalance } = outcome.value;
  expect(cellVoltage / current / 0.5).toBeCloseTo(1, 3);
  expect(imbalance).toBeLessThan(1e-6);
  expect(panelsVtu(fieldCase!.problem.surface, outcome.value)).toContain('NumberOfCells="48"');
  expect(panelsPly(fieldCase!.problem.surface, outcome.value)).toContain('element face 48');
});

describe('what is wrong is said, with its path', () => {
  const cases: [string, string, (c: Json) => void][] = [
    ['surface-missing', 'surface', (c) => delete c.surface],
    ['patches-missing', 'patches', (c) => delete c.patches],
    ['patch-missing', 'patches.wall', (c) => delete (c.patches as Json).wall],
    ['role-unknown', 'patches.wall.role', (c) => ((c.patches as Json).wall = { role: 'ghost' })],
    ['law-missing', 'patches.anode.law', (c) => ((c.patches as Json).anode = { role: 'anode' })],
    [
      'law-unknown',
      'patches.anode.law.kind',
      (c) => ((c.patches as Json).anode = { role: 'anode', law: { kind: 'x' } }),
    ],
    [
      'out-of-range',
      'patches.anode.law.resistance',
      (c) => ((c.patches as Json).anode = { role: 'anode', law: { kind: 'linear', resistance: -1 } }),
    ],
    [
      'table-not-monotone',
      'patches.anode.law',
      (c) =>
        ((c.patches as Json).anode = {
          role: 'anode',
          law: { kind: 'table', overpotential: [0, 1, 2], currentDensity: [0, 2, 1] },
        }),
    ],
    ['anode-missing', 'patches', (c) => ((c.patches as Json).anode = { role: 'insulator' })],
    ['number-missing', 'conductivity', (c) => delete c.conductivity],
    ['out-of-range', 'conductivity', (c) => (c.conductivity = 0)],
    ['not-a-number', 'conductivity', (c) => (c.conductivity = '4')],
    ['drive-missing', 'drive', (c) => delete c.drive],
    ['drive-missing', 'drive', (c) => (c.drive = { current: 1, voltage: 1 })],
    ['out-of-range', 'drive.current', (c) => (c.drive = { current: 0 })],
    ['out-of-range', 'drive.current', (c) => (c.drive = { current: 1e9 })],
    ['voltage-zero', 'drive.voltage', (c) => (c.drive = { voltage: 0 })],
    ['mesh-unknown', 'mesh', (c) => (c.mesh = 'nice')],
    [
      'vertex-not-finite',
      'surface.vertices[3]',
      (c) => ((c.surface as Json[keyof Json] & { vertices: unknown[] }).vertices[3] = [0, null, 1]),
    ],
    [
      'index-out-of-range',
      'surface.triangles[5]',
      (c) => ((c.surface as { triangles: unknown[] }).triangles[5] = [0, 1, 9999]),
    ],
    ['patch-name', 'surface.patch[2]', (c) => ((c.surface as { patch: unknown[] }).patch[2] = {})],
    ['role-unknown', 'patches.wall.role', (c) => ((c.patches as Json).wall = {})],
    ['patch-count', 'surface.patch', (c) => (c.surface as { patch: unknown[] }).patch.pop()],
    [
      'triangle-twice',
      'surface.triangles[1]',
      (c) => {
        const { triangles } = c.surface as { triangles: unknown[] };
        triangles[1] = triangles[0];
      },
    ],
  ];
  test.each(cases)('%s at %s', (code, path, spoil) => {
    const input = structuredClone(box());
    spoil(input);
    const { problems, fieldCase } = read(input);
    expect(fieldCase).toBeNull();
    expect(problems).toContainEqual(expect.objectContaining({ code, path }));
    for (const { message } of problems) expect(message).not.toMatch(/undefined|\[object/);
  });

  test('a hole in the surface, with the place', () => {
    const input = box();
    const surface = input.surface as { triangles: unknown[]; patch: unknown[] };
    surface.triangles.pop();
    surface.patch.pop();
    const outcome = solveField(read(input).fieldCase!.problem);
    expect(outcome).toMatchObject({ ok: false, problems: [{ code: 'surface-open' }] });
  });

  test.each([null, 3, 'x', [], [1]])('%j is not a case', (input) => {
    expect(read(input).problems.length).toBeGreaterThan(0);
  });
});

test('triangles without area are left out and reported', () => {
  const input = box();
  const surface = input.surface as { triangles: number[][]; patch: string[] };
  surface.triangles.push([0, 0, 1]);
  surface.patch.push('wall');
  const { fieldCase } = read(input);
  expect(fieldCase!.warnings).toContainEqual(expect.objectContaining({ code: 'triangle-without-area' }));
});

test('an anode that meets the cathode in an edge is a short; a bar with glass between has none', () => {
  const input = box();
  expect(contactRemarks(read(input).fieldCase!.problem)).toEqual([]);
  (input.patches as Json).wall = { role: 'anode', law: { kind: 'fixed' } };
  expect(contactRemarks(read(input).fieldCase!.problem)).toMatchObject([{ code: 'anode-touches-cathode' }]);
});

test('leaving a table is reported', () => {
  const input = box();
  (input.patches as Json).cathode = {
    role: 'cathode',
    law: { kind: 'table', overpotential: [-0.1, 0], currentDensity: [-0.5, 0] },
  };
  const { problem } = read(input).fieldCase!;
  const outcome = solveField(problem);
  if (!outcome.ok) throw new Error('refused');
  expect(tableRemarks(problem, problem.surface, outcome.value)[0]).toMatchObject({
    code: 'table-extrapolated',
  });
});

test('OBJ: groups are patches, polygons become triangles, errors name the line', () => {
  const problems: Problem[] = [];
  const square = 'v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\ng cathode\nf 1 2 3 4\ng wall\nf -4/1 -3//2 -2\n';
  const surface = readObjPatches(square, problems);
  expect(surface?.patch).toEqual(['cathode', 'cathode', 'wall']);
  expect([...surface!.triangles]).toEqual([0, 1, 2, 0, 2, 3, 0, 1, 2]);
  expect(readObjPatches('v 0 0 nan\nf 1 2 9\n', problems)).toBeNull();
  expect(problems.map((p) => p.path)).toEqual(['line 1', 'line 2']);
});

test('probe lists are read plain or wrapped, and refused when they hold anything else', () => {
  const problems: Problem[] = [];
  expect([...readProbes([[1, 2, 3]], problems)!]).toEqual([1, 2, 3]);
  expect([...readProbes({ points: [] }, problems)!]).toEqual([]);
  expect(readProbes([[1, 2]], problems)).toBeNull();
  expect(problems).toHaveLength(1);
});
