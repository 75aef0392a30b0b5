import { z } from 'zod';
import type { BodySpec, DomainSpec, TriangleMesh } from '../geometry/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import { formOf, placementOf, vesselOf } from './place.js';
import { readWith } from './read.js';
import { placement, solid, vessel } from './schema.js';

/**
 * Bodies in a vessel without the rest of a job, for the bare field problem: placed and written as in a job file. What a
 * body is (cathode, anode, insulator, floating) is said by the patch of its name.
 */
const bareSchema = z.object({
  bodies: z
    .array(
      z.strictObject({ name: z.string().min(1), patch: z.string().min(1).optional(), solid, ...placement }),
    )
    .min(1),
  vessel: vessel.optional(),
  unbounded: z.boolean().optional(),
});

/** Part files the bodies name, to be read by the door. */
export function bareFiles(document: unknown): Outcome<{ file: string; unit?: 'mm' | 'cm' | 'm' | 'in' }[]> {
  const read = readWith(bareSchema, document);
  if (!read.ok) return read;
  return done(
    read.value.bodies.flatMap(({ solid: s }) =>
      'file' in s ? [{ file: s.file, ...(s.unit && { unit: s.unit }) }] : [],
    ),
  );
}

/**
 * The set-up for the mesher.
 * @param roles role of each patch, by its name: it decides what may touch what
 */
export function readBareSetUp(
  document: unknown,
  meshes: ReadonlyMap<string, TriangleMesh>,
  roles: ReadonlyMap<string, string>,
): Outcome<DomainSpec> {
  const read = readWith(bareSchema, document);
  if (!read.ok) return read;
  const problems: Problem[] = [];
  const bodies: BodySpec[] = [];
  read.value.bodies.forEach((body, k) => {
    const form = formOf(body.solid, meshes, `bodies[${k}].solid`);
    if (!form.ok) problems.push(...form.problems);
    else
      bodies.push({
        ...electrically(body.name, roles.get(body.patch ?? body.name)),
        form: form.value,
        placement: placementOf(body.position, body.turn),
        ...(body.patch && { patch: body.patch }),
      });
  });
  const { vessel: around, unbounded } = read.value;
  if (!around && unbounded !== true)
    problems.push({
      code: 'vessel-missing',
      path: 'vessel',
      message: 'The bodies stand in no vessel.',
      hint: 'Give a "vessel", or say "unbounded": true for open liquid.',
    });
  if (around && unbounded)
    problems.push({
      code: 'vessel-unbounded',
      path: 'unbounded',
      message: 'A vessel and unbounded liquid are both asked for.',
      hint: 'Leave one out.',
    });
  const inside = around ? vesselOf(around) : null;
  if (inside && !inside.ok) problems.push(...inside.problems);
  if (problems.length > 0) return refused(...problems);
  if (!around || !inside?.ok) return done({ bodies });
  const level =
    around.depth === undefined ? { liquidVolume: around.volume! } : { liquidHeight: around.depth };
  return done({ bodies, vessel: inside.value, ...level });
}

/** What geometry calls a body of a role, and what it is wired to. */
function electrically(name: string, role: string | undefined): Pick<BodySpec, 'name' | 'role' | 'lead'> {
  if (role === 'anode') return { name, role: 'anode' };
  if (role === 'cathode') return { name, role: 'part' };
  if (role === 'floating') return { name, role: 'robber', lead: `floating ${name}` };
  return { name, role: 'shield' };
}
