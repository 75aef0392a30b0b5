import type { PanelSurface } from '../geometry/index.js';
import type { Problem } from '../units/index.js';
import { readLaw, readNumber } from './case-law.js';
import { flatPanels, isObject, type NamedTriangles } from './case-surface.js';
import type { Drive, FieldProblem, PatchSpec, Role } from './problem.js';

/**
 * The bare field problem as scripts write it (JSON), checked line by line and turned into what the solver takes. Every
 * problem is collected with its path; nothing here reads files: the door brings the surface when it is in one.
 */
export interface FieldCase {
  problem: FieldProblem;
  /** `as-given`, or how finely the program may mesh. */
  mesh: 'as-given' | 'draft' | 'standard' | 'fine';
  patchNames: string[];
  warnings: Problem[];
}

const ROLES: readonly Role[] = ['cathode', 'anode', 'insulator', 'floating'];

/** Everything but the surface, then the two joined. `null` when there are problems (in the list). */
export function readFieldCase(
  input: unknown,
  surface: NamedTriangles,
  problems: Problem[],
): FieldCase | null {
  const names = [...new Set(surface.patch)];
  const warnings: Problem[] = [];
  const panels = flatPanels(surface, names, problems, warnings);
  const found = readAround(input, names, problems, warnings);
  if (problems.length > 0 || !found || !panels) return null;
  const { mesh, ...rest } = found;
  return {
    problem: { ...rest, surface: panels, nodesPerPanel: nodesFor(panels.patch.length) },
    mesh,
    patchNames: names,
    warnings,
  };
}

/** The same over panels that were made from bodies; the patch `wall` of the vessel need not be described. */
export function readPanelCase(
  input: unknown,
  surface: PanelSurface,
  mirrorHeight: number | undefined,
  wall: string,
  problems: Problem[],
): FieldCase | null {
  const warnings: Problem[] = [];
  const described = isObject(input) && isObject(input.patches) ? input.patches : {};
  const found = readAround(
    isObject(input) ? { ...input, patches: { [wall]: { role: 'insulator' }, ...described } } : input,
    surface.patchNames,
    problems,
    warnings,
  );
  if (problems.length > 0 || !found) return null;
  const { mesh, ...rest } = found;
  return {
    problem: { ...rest, surface, ...(mirrorHeight === undefined ? {} : { mirrorHeight }) },
    mesh,
    patchNames: surface.patchNames,
    warnings: warnings.filter((w) => w.path !== `patches.${wall}`),
  };
}

/** Role of each patch as far as the case says something sensible; `readFieldCase` complains about the rest. */
export function patchRoles(input: unknown): Map<string, string> {
  const patches = isObject(input) && isObject(input.patches) ? input.patches : {};
  return new Map(
    Object.entries(patches).map(([name, spec]) => [name, isObject(spec) ? String(spec.role) : '']),
  );
}

/** How finely the program is asked to mesh; `standard` where the case says nothing. */
export function askedQuality(input: unknown): 'draft' | 'standard' | 'fine' {
  const mesh = readMesh(isObject(input) ? input.mesh : undefined, []);
  return mesh === null || mesh === 'as-given' ? 'standard' : mesh;
}

type Around = Pick<FieldProblem, 'conductivity' | 'patches' | 'drive' | 'unbounded'> &
  Pick<FieldCase, 'mesh'>;

function readAround(
  input: unknown,
  names: readonly string[],
  problems: Problem[],
  warnings: Problem[],
): Around | null {
  if (!isObject(input)) return null;
  const conductivity = readNumber(input.conductivity, 'conductivity', 'the conductivity in S/m', problems, {
    above: 0,
    least: 1e-9,
    most: 1e9,
  });
  const patches = readPatches(input.patches, names, problems, warnings);
  const unbounded = input.unbounded === true;
  const drive = readDrive(input.drive, patches, problems);
  if (patches) checkRoles(patches, names, unbounded, problems);
  const mesh = readMesh(input.mesh, problems);
  if (problems.length > 0 || !patches || !drive || !mesh) return null;
  return { conductivity, patches, drive, mesh, ...(unbounded ? { unbounded } : {}) };
}

/** Unknowns a plane panel by how many there are: rich on few panels, lean on many. Measured in docs/theory/field.md. */
export const nodesFor = (panels: number): 1 | 3 | 6 => (panels <= 1500 ? 6 : panels <= 20_000 ? 3 : 1);

function readPatches(
  value: unknown,
  names: readonly string[],
  problems: Problem[],
  warnings: Problem[],
): PatchSpec[] | null {
  if (!isObject(value)) {
    problems.push({
      code: 'patches-missing',
      path: 'patches',
      message: 'The case says nothing about its patches.',
    });
    return null;
  }
  for (const name of Object.keys(value))
    if (!names.includes(name))
      warnings.push({
        code: 'patch-unused',
        path: `patches.${name}`,
        message: `No triangle belongs to the patch "${name}".`,
      });
  const out = names.map((name): PatchSpec => {
    const spec = value[name];
    const path = `patches.${name}`;
    if (!isObject(spec)) {
      problems.push({
        code: 'patch-missing',
        path,
        message: `The surface has a patch "${name}", which the case does not describe.`,
        hint: `Add "${name}" to "patches"; described are: ${Object.keys(value).join(', ') || 'none'}.`,
      });
      return { role: 'insulator' };
    }
    if (!ROLES.includes(spec.role as Role)) {
      problems.push({
        code: 'role-unknown',
        path: `${path}.role`,
        message:
          spec.role === undefined
            ? 'The patch has no role.'
            : `The role ${JSON.stringify(spec.role)} is not known.`,
        hint: `Use one of ${ROLES.join(', ')}.`,
      });
      return { role: 'insulator' };
    }
    const role = spec.role as Role;
    if (role === 'insulator') return { role };
    const law = readLaw(spec.law, `${path}.law`, problems);
    return law ? { role, law } : { role };
  });
  return out;
}

function checkRoles(
  patches: PatchSpec[],
  names: readonly string[],
  unbounded: boolean,
  problems: Problem[],
): void {
  const has = (role: Role) => patches.some((p) => p.role === role);
  if (!unbounded)
    for (const role of ['cathode', 'anode'] as const)
      if (!has(role))
        problems.push({
          code: `${role}-missing`,
          path: 'patches',
          message: `No patch of the surface is ${role === 'anode' ? 'an anode' : 'a cathode'}, so no current can pass.`,
          hint: `Give one of ${names.join(', ')} the role "${role}".`,
        });
  if (unbounded && !has('cathode') && !has('anode'))
    problems.push({ code: 'electrode-missing', path: 'patches', message: 'No patch is an electrode.' });
}

/** More than this nobody passes through a beaker, and no case of verification needs it [A], [V]. */
const ABSURD = 1e7;

function readDrive(value: unknown, patches: PatchSpec[] | null, problems: Problem[]): Drive | null {
  if (!isObject(value) || (value.current === undefined) === (value.voltage === undefined)) {
    problems.push({
      code: 'drive-missing',
      path: 'drive',
      message: isObject(value)
        ? 'Give either a current or a voltage, not both and not neither.'
        : 'The case has no drive.',
      hint: 'For example "drive": {"current": 0.05} in A or {"voltage": 2} in V.',
    });
    return null;
  }
  const kind = value.current === undefined ? 'voltage' : 'current';
  const what = kind === 'current' ? 'the current in A' : 'the voltage in V';
  const amount = readNumber(value[kind], `drive.${kind}`, what, problems, {
    most: ABSURD,
    ...(kind === 'current' ? { above: 0, least: 1 / ABSURD ** 2 } : { least: -ABSURD }),
  });
  if (kind === 'current') return { current: amount };
  if (amount === 0 && !patches?.some((p) => p.law?.equilibriumPotential))
    problems.push({
      code: 'voltage-zero',
      path: 'drive.voltage',
      message: 'At 0 V between equal electrodes no current passes.',
      hint: 'Give a voltage, or equilibrium potentials that differ.',
    });
  return { voltage: amount };
}

function readMesh(value: unknown, problems: Problem[]): FieldCase['mesh'] | null {
  if (value === undefined || value === 'as-given') return 'as-given';
  const accuracy = isObject(value) ? value.accuracy : undefined;
  if (accuracy === 'draft' || accuracy === 'standard' || accuracy === 'fine') return accuracy;
  problems.push({
    code: 'mesh-unknown',
    path: 'mesh',
    message: `${JSON.stringify(value)} says neither to keep the triangles nor how finely to mesh.`,
    hint: 'Use "as-given" or {"accuracy": "draft"}, "standard" or "fine".',
  });
  return null;
}
