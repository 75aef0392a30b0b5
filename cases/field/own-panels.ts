import { type BodySpec, buildDomain, type Quality } from '../../src/geometry/index.js';
import type { Study } from '../runner.js';
import { anode, cathode, resistance, solve } from './tools.js';

/** Bodies of the program's own shapes, cut into the program's own panels, in open liquid. */
type Form = Exclude<BodySpec['form'], { kind: 'mesh' }>;

const FORMS: Record<string, { form: Form; size: number }> = {
  cube: { form: { kind: 'box', x: 1, y: 1, z: 1 }, size: 1 },
  sphere: { form: { kind: 'sphere', diameter: 2 }, size: 1 },
  'torus-2': { form: { kind: 'torus', ringDiameter: 4, sectionDiameter: 2 }, size: 1 },
  'torus-5': { form: { kind: 'torus', ringDiameter: 10, sectionDiameter: 2 }, size: 1 },
  'prolate-10': { form: { kind: 'spheroid', equatorDiameter: 0.2, poleDiameter: 2 }, size: 1 },
  'oblate-10': { form: { kind: 'spheroid', equatorDiameter: 2, poleDiameter: 0.2 }, size: 1 },
};

/** Metres a unit of the table: bodies of bench size, as the mesher knows them. */
const UNIT = 0.01;

const scaled = (form: Form): Form =>
  Object.fromEntries(Object.entries(form).map(([k, v]) => [k, typeof v === 'number' ? v * UNIT : v])) as Form;

async function panels(bodies: BodySpec[], quality: Quality) {
  const built = await buildDomain({ bodies }, { quality });
  if (!built.ok) throw new Error(JSON.stringify(built.problems));
  return built.value.surface;
}

async function alone(name: string, quality: Quality): Promise<number> {
  const { form, size } = FORMS[name];
  const surface = await panels(
    [{ name: 'part', role: 'part', form: scaled(form), placement: { position: [0, 0, 0] } }],
    quality,
  );
  const solved = solve(
    { surface, unbounded: true, nodesPerPanel: 3 },
    { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
  );
  return 1 / (4 * Math.PI * resistance(solved) * size * UNIT);
}

async function pair(distance: number, quality: Quality): Promise<number> {
  const ball = (name: string, role: 'part' | 'anode', x: number): BodySpec => ({
    name,
    role,
    form: scaled({ kind: 'sphere', diameter: 2 }),
    placement: { position: [x * UNIT, 0, 0] },
  });
  const surface = await panels([ball('a', 'part', 0), ball('b', 'anode', distance)], quality);
  const solved = solve(
    { surface, unbounded: true, nodesPerPanel: 3 },
    { conductivity: 1, patches: [cathode(), anode()], drive: { voltage: 1 } },
  );
  return resistance(solved) * 4 * Math.PI * UNIT;
}

export const study: Study = {
  ...Object.fromEntries(
    Object.keys(FORMS).flatMap((name) =>
      (['standard', 'fine'] as const).map((quality) => [`${name}-${quality}`, () => alone(name, quality)]),
    ),
  ),
  'spheres-2.5-standard': () => pair(2.5, 'standard'),
  'spheres-2.5-fine': () => pair(2.5, 'fine'),
};
