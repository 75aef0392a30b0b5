import { dirname, resolve } from 'node:path';
import {
  askedQuality,
  type EstimatedResult,
  errorsBetween,
  type FieldCase,
  FieldSolver,
  figuresOf,
  patchRoles,
  readPanelCase,
  richOn,
  type SolverOptions,
  solveWithEstimate,
} from '../../field/index.js';
import {
  buildDomain,
  type Domain,
  type DomainSpec,
  importPart,
  type Quality,
  type TriangleMesh,
  unusableAsSolid,
  WALL,
} from '../../geometry/index.js';
import { bareFiles, readBareSetUp } from '../../job/bare-set-up.js';
import { done, type Outcome, type Problem } from '../../units/index.js';
import { openPartFile } from '../part-file.js';

/** A field case ready to be solved: reading is done, and what was wrong has been said. */
export interface PreparedField {
  fieldCase: FieldCase;
  run(): Promise<Outcome<EstimatedResult>>;
}

/** The quality below each, to compare with. */
const COARSER: Readonly<Record<Quality, Quality | null>> = {
  draft: null,
  standard: 'draft',
  fine: 'standard',
};
/** A panel of the next quality is about half as large; errors fall at least in proportion, with a margin. */
const SAFETY = 1.5;

/** Bodies in a vessel (or in open liquid), placed and meshed by the program. */
export async function prepareBodies(
  input: unknown,
  path: string,
  engine: SolverOptions,
  problems: Problem[],
): Promise<PreparedField | null> {
  const meshes = await readMeshes(input, path, problems);
  if (!meshes) return null;
  const spec = readBareSetUp(input, meshes, patchRoles(input));
  if (!spec.ok) {
    problems.push(...spec.problems);
    return null;
  }
  const quality = askedQuality(input);
  const domain = await buildDomain(spec.value, { quality });
  if (!domain.ok) {
    problems.push(...domain.problems);
    return null;
  }
  const fieldCase = readPanelCase(input, domain.value.surface, domain.value.mirrorHeight, WALL, problems);
  if (!fieldCase) return null;
  fieldCase.warnings.push(...domain.warnings);
  return { fieldCase, run: () => solve(fieldCase, spec.value, domain.value, quality, engine) };
}

async function readMeshes(
  input: unknown,
  path: string,
  problems: Problem[],
): Promise<Map<string, TriangleMesh> | null> {
  const files = bareFiles(input);
  if (!files.ok) {
    problems.push(...files.problems);
    return null;
  }
  const meshes = new Map<string, TriangleMesh>();
  for (const { file, unit } of files.value) {
    const opened = await openPartFile(resolve(dirname(path), file));
    const part = opened.ok ? await importPart(opened.value, unit ? { unit } : {}) : opened;
    if (!part.ok) problems.push(...part.problems);
    else {
      problems.push(...unusableAsSolid(part.value, file));
      meshes.set(file, part.value.mesh);
    }
  }
  return problems.length > 0 ? null : meshes;
}

/** Six nodes on cathodes, three elsewhere; a draft has three everywhere. */
function geometryOf({ surface, mirrorHeight }: Domain, { problem }: FieldCase, quality: Quality) {
  const cathode = (patch: number) => problem.patches[patch]?.role === 'cathode';
  return {
    surface,
    nodesPerPanel: quality === 'draft' ? (3 as const) : richOn(surface, cathode),
    ...(mirrorHeight === undefined ? {} : { mirrorHeight }),
    ...(problem.unbounded ? { unbounded: true } : {}),
  };
}

/** Solves on the panels of the quality, and on coarser ones for the error: so the error of the shapes is in it. */
async function solve(
  fieldCase: FieldCase,
  spec: DomainSpec,
  domain: Domain,
  quality: Quality,
  engine: SolverOptions,
): Promise<Outcome<EstimatedResult>> {
  const { problem } = fieldCase;
  const below = COARSER[quality];
  if (!below) return solveWithEstimate(geometryOf(domain, fieldCase, quality), problem, engine);
  const fine = FieldSolver.prepare(geometryOf(domain, fieldCase, quality), engine);
  if (!fine.ok) return fine;
  const result = fine.value.solve(problem);
  const figures = figuresOf(fine.value, problem, result);
  const rough = await buildDomain(spec, { quality: below });
  const samePatches = rough.ok && rough.value.surface.patchNames.join() === domain.surface.patchNames.join();
  const coarse = samePatches ? FieldSolver.prepare(geometryOf(rough.value, fieldCase, below), engine) : null;
  const compared = coarse?.ok ? coarse.value.solve(problem) : null;
  const errors =
    coarse?.ok && compared?.status === 'converged' && result.status === 'converged'
      ? errorsBetween(figuresOf(coarse.value, problem, compared), figures, SAFETY)
      : null;
  return done({ solver: fine.value, result, figures, errors }, fine.warnings);
}
