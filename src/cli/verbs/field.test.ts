import { mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { field } from './field.js';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'field-'));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

/** A unit cube as an OBJ with two groups: electrode at x = 0 and x = 1, the rest glass. R = 1 / conductivity. */
const CUBE = `v 0 0 0\nv 1 0 0\nv 1 1 0\nv 0 1 0\nv 0 0 1\nv 1 0 1\nv 1 1 1\nv 0 1 1
g left\nf 1 5 8 4\ng right\nf 2 3 7 6\ng glass\nf 1 2 6 5\nf 4 8 7 3\nf 1 4 3 2\nf 5 6 7 8\n`;

async function caseFile(change: Record<string, unknown> = {}): Promise<string> {
  await writeFile(join(folder, 'cube.obj'), CUBE);
  const path = join(folder, 'case.json');
  const input = {
    conductivity: 5,
    surface: { file: 'cube.obj' },
    patches: {
      left: { role: 'cathode', law: { kind: 'linear', resistance: 0.1 } },
      right: { role: 'anode', law: { kind: 'fixed' } },
      glass: { role: 'insulator' },
    },
    drive: { voltage: 3 },
    mesh: { accuracy: 'draft' },
    ...change,
  };
  await writeFile(path, JSON.stringify(input));
  return path;
}

interface Printed {
  converged: boolean;
  current: number;
  resistance: number;
  resistanceError: number;
  panels: number;
  patches: Record<string, { area: number; quantiles: Record<string, number> | null }>;
  probes: (number | null)[];
  surfaceProbes: number[];
}

test('a bar of liquid between two plates: current, quantiles, probes and files', async () => {
  const probe = join(folder, 'points.json');
  const panels = join(folder, 'out.ply');
  await writeFile(probe, '[[0.5, 0.5, 0.5], [2, 0, 0]]');
  const result = await field.run([await caseFile()], { probe, panels });
  if (result.status !== 'done') throw new Error(JSON.stringify(result));
  const json = result.json as Printed;
  expect(json.converged).toBe(true);
  expect(json.resistance).toBeCloseTo(0.1 + 1 / 5, 4);
  expect(json.current).toBeCloseTo(10, 2);
  expect(json.resistanceError).toBeLessThan(0.01);
  expect(json.patches.left.area).toBeCloseTo(1, 9);
  expect(json.patches.left.quantiles!['0.05']).toBeCloseTo(1, 3);
  expect(json.patches.glass.quantiles).toBeNull();
  // The cathode's metal is at zero, its surface at 1 V, the anode at 3 V.
  expect(json.probes[0]).toBeCloseTo(2, 3);
  expect(json.probes[1]).toBeNull();
  expect(json.surfaceProbes[1]).toBeCloseTo(10, 2);
  expect(await readFile(panels, 'utf8')).toContain(`element face ${json.panels}`);
});

test.each([
  ['a file that is not there', { surface: { file: 'none.obj' } }, 'file-unreadable'],
  ['an empty list of bodies', { bodies: [], unbounded: true }, 'not-allowed'],
  [
    'a shape written without a unit',
    {
      bodies: [
        {
          name: 'left',
          solid: { shape: { kind: 'sphere', diameter: 10 } },
          position: ['0 mm', '0 mm', '0 mm'],
        },
      ],
    },
    'not-allowed',
  ],
  ['no electrode to drive', { patches: { left: { role: 'insulator' } } }, 'patch-missing'],
])('%s is refused', async (_, change, code) => {
  const result = await field.run([await caseFile(change)], {});
  if (result.status !== 'refused') throw new Error('accepted');
  expect(result.problems.map((p) => p.code)).toContain(code);
});

test('bodies in open liquid are meshed by the program, and the error of the shapes is in the estimate', async () => {
  const path = await caseFile({
    surface: undefined,
    unbounded: true,
    bodies: [
      {
        name: 'ball',
        solid: { shape: { kind: 'sphere', diameter: '20 mm' } },
        position: ['0 mm', '0 mm', '0 mm'],
      },
    ],
    patches: { ball: { role: 'cathode', law: { kind: 'fixed' } } },
    mesh: { accuracy: 'standard' },
  });
  const result = await field.run([path], {});
  if (result.status !== 'done') throw new Error(JSON.stringify(result));
  const json = result.json as Printed;
  // 1 / (4 pi kappa a), any text on electrostatics.
  const exact = 1 / (4 * Math.PI * 5 * 0.01);
  const error = Math.abs(json.resistance / exact - 1);
  expect(error).toBeLessThan(3e-3);
  expect(json.resistanceError).toBeGreaterThan(error);
});

test('a case file that is no JSON is refused', async () => {
  const path = join(folder, 'broken.json');
  await writeFile(path, '{"conductivity": ');
  expect(await field.run([path], {})).toMatchObject({
    status: 'refused',
    problems: [{ code: 'json-broken' }],
  });
});
