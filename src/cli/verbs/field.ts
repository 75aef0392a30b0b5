import { readFile, writeFile } from 'node:fs/promises';
import { dirname, resolve } from 'node:path';
import {
  ACCURACY,
  contactRemarks,
  type EstimatedResult,
  type FieldCase,
  type FieldResult,
  type FieldSolver,
  fastOperator,
  type NamedTriangles,
  panelsPly,
  panelsVtu,
  potentialAt,
  readFieldCase,
  readObjPatches,
  readProbes,
  SHARES,
  type SolverOptions,
  type SurfaceSource,
  solveAdaptively,
  solveWithEstimate,
  surfaceAt,
  surfaceSource,
  tableRemarks,
} from '../../field/index.js';
import type { Problem } from '../../units/index.js';
import type { Verb, VerbResult } from '../verb.js';
import { type PreparedField, prepareBodies } from './field-bodies.js';

/** The bare field problem, for verification and scripts. */
export const field: Verb = {
  name: 'field',
  summary: 'Potential and current distribution of a bare field problem (JSON).',
  arguments: ['<case>'],
  options: [
    { flags: '--panels <file>', description: 'write the values per triangle: .vtu (VTK XML) or .ply' },
    {
      flags: '--probe <points>',
      description: 'JSON list of points [x, y, z] in metres to read the field at',
    },
  ],
  run: async ([path], options) => run(path!, options),
};

const refuse = (...problems: Problem[]): VerbResult => ({ status: 'refused', problems });

async function run(path: string, options: Record<string, string | boolean | undefined>): Promise<VerbResult> {
  const started = performance.now();
  const problems: Problem[] = [];
  const input = await readJson(path, problems);
  if (problems.length > 0) return refuse(...problems);
  const source = surfaceSource(input, problems);
  if (!source) return refuse(...problems);
  const engine = { makeOperator: fastOperator() };
  const solve =
    source.kind === 'bodies'
      ? await prepareBodies(input, path, engine, problems)
      : prepareSurface(input, await readSurface(source, path, problems), engine, problems);
  const probes =
    typeof options.probe === 'string' ? readProbes(await readJson(options.probe, problems), problems) : null;
  const output = typeof options.panels === 'string' ? options.panels : null;
  if (output && !/\.(vtu|ply)$/i.test(output))
    problems.push({
      code: 'format-unknown',
      path: '--panels',
      message: `Panels are written as .vtu or .ply, not as "${output}".`,
    });
  if (!solve || problems.length > 0) return refuse(...problems);
  const { fieldCase } = solve;
  const { problem } = fieldCase;
  const solved = await solve.run();
  if (!solved.ok) return refuse(...solved.problems);
  const { solver, result } = solved.value;
  const { surface: panels } = solver.geometry;
  const warnings = [
    ...fieldCase.warnings,
    ...contactRemarks(problem),
    ...solved.warnings,
    ...tableRemarks(problem, panels, result),
  ];
  const json = {
    ...summary(fieldCase, solved.value),
    seconds: (performance.now() - started) / 1000,
    peakMemory: process.resourceUsage().maxRSS * 1024,
    ...(probes ? readings(solver, fieldCase, result, probes) : {}),
    ...(warnings.length > 0 ? { warnings } : {}),
  };
  for (const w of warnings) process.stderr.write(`note: ${w.path ? `${w.path}: ` : ''}${w.message}\n`);
  if (output) {
    await writeFile(output, /\.vtu$/i.test(output) ? panelsVtu(panels, result) : panelsPly(panels, result));
  }
  return {
    status: result.status === 'converged' ? 'done' : 'not-completed',
    json,
    text: inWords(fieldCase, result),
  };
}

async function readJson(path: string, problems: Problem[]): Promise<unknown> {
  let text: string;
  try {
    text = await readFile(path, 'utf8');
  } catch (error) {
    const { code } = error as { code?: string };
    problems.push({
      code: 'file-unreadable',
      path,
      message: `The file ${path} cannot be read (${code ?? 'unknown'}).`,
    });
    return null;
  }
  try {
    return JSON.parse(text);
  } catch (error) {
    problems.push({
      code: 'json-broken',
      path,
      message: `${path} is not JSON: ${(error as Error).message}.`,
    });
    return null;
  }
}

/** A surface as it is, or cut by its own solution. */
function prepareSurface(
  input: unknown,
  surface: NamedTriangles | null,
  engine: SolverOptions,
  problems: Problem[],
): PreparedField | null {
  if (!surface) return null;
  const fieldCase = readFieldCase(input, surface, problems);
  if (!fieldCase) return null;
  const { mesh, problem } = fieldCase;
  return {
    fieldCase,
    run: async () =>
      mesh === 'as-given'
        ? solveWithEstimate(problem, problem, engine)
        : solveAdaptively(problem, problem, ACCURACY[mesh], engine),
  };
}

async function readSurface(
  source: Exclude<SurfaceSource, { kind: 'bodies' }>,
  path: string,
  problems: Problem[],
): Promise<NamedTriangles | null> {
  if (source.kind === 'triangles') return source.surface;
  const file = resolve(dirname(path), source.file);
  try {
    return readObjPatches(await readFile(file, 'utf8'), problems);
  } catch (error) {
    problems.push({
      code: 'file-unreadable',
      path: 'surface.file',
      message: `The surface file ${source.file} cannot be read (${(error as { code?: string }).code ?? 'unknown'}).`,
    });
    return null;
  }
}

function summary({ patchNames, problem }: FieldCase, { solver, result, figures, errors }: EstimatedResult) {
  const byShare = (list: readonly number[]) =>
    Object.fromEntries(SHARES.map((share, n) => [String(share), list[n]]));
  const patches = Object.fromEntries(
    patchNames.map((name, k) => {
      const { area, current, meanCurrentDensity, potential } = result.patches[k];
      const metal = problem.patches[k].role !== 'insulator';
      return [
        name,
        {
          area,
          current,
          meanCurrentDensity,
          potential: metal ? potential : null,
          quantiles: metal ? byShare(figures.quantiles[k]) : null,
          ...(metal && errors ? { quantileErrors: byShare(errors.quantiles[k]) } : {}),
        },
      ];
    }),
  );
  return {
    converged: result.status === 'converged',
    status: result.status,
    ...(result.remark === undefined ? {} : { remark: result.remark }),
    current: result.current,
    cellVoltage: result.cellVoltage,
    resistance: figures.resistance,
    resistanceError: errors ? errors.resistance : null,
    panels: solver.geometry.surface.patch.length,
    unknowns: result.nodes.count,
    imbalance: result.imbalance,
    newtonSteps: result.newtonSteps,
    operatorApplications: result.operatorApplications,
    patches,
  };
}

/** Potentials at the probes (null outside the electrolyte) and the surface nearest to each. */
function readings(
  solver: FieldSolver,
  { problem, patchNames }: FieldCase,
  result: FieldResult,
  points: Float64Array,
) {
  const potential = potentialAt(solver, result, points, problem.conductivity);
  const nearest = surfaceAt(solver, result, points);
  return {
    probes: Array.from(potential, (v) => (Number.isFinite(v) ? v : null)),
    surfaceProbes: nearest.map((point) => point.currentDensity),
    surfaceProbePoints: nearest.map(({ patch, position, distance, potential: v }) => ({
      patch: patchNames[patch],
      position,
      distance,
      potential: v,
    })),
  };
}

function inWords({ patchNames, problem }: FieldCase, result: FieldResult): string {
  const lines = [
    `${result.status}${result.remark ? ` (${result.remark})` : ''}: ${result.current.toPrecision(5)} A at ${result.cellVoltage.toPrecision(5)} V, ${(result.cellVoltage / result.current).toPrecision(5)} ohm`,
  ];
  patchNames.forEach((name, k) => {
    if (problem.patches[k].role === 'insulator') return;
    const { area, current, meanCurrentDensity } = result.patches[k];
    lines.push(
      `  ${name}: ${(area * 1e4).toPrecision(4)} cm2, ${current.toPrecision(5)} A, mean ${(meanCurrentDensity / 100).toPrecision(4)} A/dm2`,
    );
  });
  return lines.join('\n');
}
