import {
  type Drive,
  type FieldResult,
  FieldSolver,
  type PatchSpec,
  type SolveOptions,
} from '../field/index.js';
import { buildDomain, type Domain, leadOf, type Quality } from '../geometry/index.js';
import type { Watch } from '../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import { type Chemistry, fieldLaw, type Laws } from './chemistry.js';
import { type JobContext, operatorOf } from './context.js';
import type { Placed } from './place.js';
import { panelsIn } from './region.js';
import type { Job } from './schema.js';

/** Everything placed, cut into panels and ready to be solved for any law and drive. */
export interface SetUp {
  placed: Placed;
  domain: Domain;
  solver: FieldSolver;
  /** What each patch is, by patch number. */
  roles: PatchRole[];
  /** By panel of the surface: 1 where it is part and not masked; 1 where it is significant too. */
  part: Uint8Array;
  significant: Uint8Array;
  /** Height the part takes up in the liquid [m]. */
  height: number;
  warnings: Problem[];
}

export type PatchRole =
  | { role: 'work'; what: 'part' | 'hook' | 'robber'; name: string }
  | { role: 'anode'; name: string; index: number; metal: string }
  | { role: 'insulator'; name: string };

/** Unknowns a panel: linear while things are moved about, quadratic for a forecast. */
const NODES: Record<Quality, 3 | 6> = { draft: 3, standard: 6, fine: 6 };

/**
 * Cuts the set-up into panels and prepares the solver. With an earlier set-up of the same job only bodies that moved
 * are cut and summed again; the earlier one must not be used afterwards.
 */
export async function prepareSetUp(
  job: Job,
  chemistry: Chemistry,
  placed: Placed,
  quality: Quality,
  context: JobContext,
  watch: Watch,
  previous?: SetUp,
): Promise<Outcome<SetUp>> {
  const built = await buildDomain(placed.spec, {
    quality,
    watch,
    ...(context.booleans && { booleans: context.booleans }),
    ...(previous && { previous: previous.domain }),
  });
  if (!built.ok) return refused(...built.problems.map((p) => inJob(p, placed)));
  const domain = maskedDomain(built.value, job, placed);
  const geometry = {
    surface: domain.surface,
    nodesPerPanel: NODES[quality],
    ...(domain.mirrorHeight !== undefined && { mirrorHeight: domain.mirrorHeight }),
  };
  const changed = previous && samePanels(previous.domain, domain);
  const solver = changed
    ? changed.length > 0 || job.part.masked.length > 0
      ? previous.solver.moved(geometry, changed)
      : done(previous.solver)
    : FieldSolver.prepare(geometry, { makeOperator: operatorOf(context), watch });
  if (!solver.ok) return solver;
  const roles = domain.surface.patchNames.map((name) => roleOf(name, placed, chemistry, job));
  const isPart = (p: number): boolean => {
    const role = roles[domain.surface.patch[p]!]!;
    return role.role === 'work' && role.what === 'part';
  };
  const count = domain.surface.patch.length;
  const part = Uint8Array.from({ length: count }, (_, p) => (isPart(p) ? 1 : 0));
  const significant =
    job.part.significant === 'all'
      ? part
      : panelsIn(job.part.significant, domain.surface, placed.part.placement, isPart);
  if (!significant.some((x) => x))
    return refused({
      code: 'nothing-significant',
      path: 'part.significant',
      message: 'No piece of the wetted, unmasked part lies in the significant surface.',
      hint: 'Regions are in the coordinates of the part before it is placed; check them, or use "all".',
    });
  return done({
    placed,
    domain,
    solver: solver.value,
    roles,
    part,
    significant,
    height: heightOf(domain, part),
    warnings: [...built.warnings.map((p) => inJob(p, placed)), ...solver.warnings],
  });
}

const MASKED = 'masked';

/** The masked piece of the part as a patch of its own. */
function maskedDomain(domain: Domain, job: Job, placed: Placed): Domain {
  if (job.part.masked.length === 0) return domain;
  const { surface } = domain;
  const masked = panelsIn(
    job.part.masked,
    surface,
    placed.part.placement,
    (p) => surface.patchNames[surface.patch[p]!] === 'part',
  );
  const number = surface.patchNames.length;
  return {
    ...domain,
    surface: {
      ...surface,
      patch: surface.patch.map((patch, p) => (masked[p] ? number : patch)),
      patchNames: [...surface.patchNames, MASKED],
    },
  };
}

function roleOf(name: string, placed: Placed, chemistry: Chemistry, job: Job): PatchRole {
  const at = placed.spec.bodies.findIndex((b) => (b.patch ?? b.name) === name);
  const body = placed.spec.bodies[at];
  if (!body || body.role === 'shield' || body.role === 'clip') return { role: 'insulator', name };
  if (body.role === 'anode') {
    const index = Number(/\d+/.exec(placed.paths[at]!)![0]);
    return { role: 'anode', name, index, metal: chemistry.anodeMetals[index]! };
  }
  if (body.role === 'hook' && job.hook?.coated) return { role: 'insulator', name };
  if (leadOf(body) !== 'work') return { role: 'insulator', name };
  return { role: 'work', what: body.role, name };
}

/** Bodies whose panels differ, when the rest of the surface is the same body for body; undefined otherwise. */
function samePanels(before: Domain, now: Domain): number[] | undefined {
  if (before.blocks.length !== now.blocks.length || before.mirrorHeight !== now.mirrorHeight)
    return undefined;
  if (before.surface.patchNames.join() !== now.surface.patchNames.join()) return undefined;
  return now.kept.flatMap((how, b) => (how === 'same' ? [] : [b]));
}

function heightOf({ surface }: Domain, part: Uint8Array): number {
  let low = Infinity;
  let high = -Infinity;
  for (let p = 0; p < part.length; p++)
    if (part[p])
      for (let k = 0; k < 3; k++) {
        const z = surface.nodes[3 * surface.panels[6 * p + k]! + 2]!;
        low = Math.min(low, z);
        high = Math.max(high, z);
      }
  return high - low;
}

/** Solves for the laws of one set of values. */
export function solveSetUp(setUp: SetUp, laws: Laws, drive: Drive, options: SolveOptions = {}): FieldResult {
  const cathode = fieldLaw(laws.cathode);
  const anodes = new Map([...laws.anodes].map(([metal, law]) => [metal, fieldLaw(law)]));
  const patches = setUp.roles.map((role): PatchSpec => {
    if (role.role === 'insulator') return { role: 'insulator' };
    if (role.role === 'work') return { role: 'cathode', law: cathode };
    return { role: 'anode', law: anodes.get(role.metal)! };
  });
  return setUp.solver.solve({ conductivity: laws.conductivity, patches, drive }, options);
}

/** A problem of geometry said in the places of the job file. */
function inJob(problem: Problem, placed: Placed): Problem {
  const path = problem.path.replace(/^bodies\[(\d+)\]/, (_, i: string) => placed.paths[Number(i)] ?? '');
  return { ...problem, path: path.replace(/^liquid(Height|Volume)$/, 'vessel') };
}
