import { type PanelSurface, WALL } from '../geometry/index.js';
import type { Problem } from '../units/index.js';
import { readLaw, readNumber } from './case-law.js';
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

/** Triangles as given, with the name of a patch each. */
export interface NamedTriangles {
  vertices: Float64Array;
  triangles: Int32Array;
  patch: string[];
}

/** Where a field case keeps its surface. */
export type SurfaceSource =
  | { kind: 'triangles'; surface: NamedTriangles }
  | { kind: 'file'; file: string }
  | { kind: 'bodies' };

type Json = Record<string, unknown>;

export const isObject = (v: unknown): v is Json => typeof v === 'object' && v !== null && !Array.isArray(v);

const ROLES: readonly Role[] = ['cathode', 'anode', 'insulator', 'floating'];

/** Looks where the surface is, and reads it when it is in the case itself. */
export function surfaceSource(input: unknown, problems: Problem[]): SurfaceSource | null {
  if (!isObject(input)) {
    problems.push({ code: 'not-an-object', path: '', message: 'A field case is one JSON object in braces.' });
    return null;
  }
  if (input.bodies !== undefined) return { kind: 'bodies' };
  const { surface } = input;
  if (!isObject(surface)) {
    problems.push({
      code: 'surface-missing',
      path: 'surface',
      message: 'The case has no surface.',
      hint: 'Give "surface": {"vertices": ..., "triangles": ..., "patch": ...} or {"file": "x.obj"}.',
    });
    return null;
  }
  if (typeof surface.file === 'string') return { kind: 'file', file: surface.file };
  const read = readTriangles(surface, problems);
  return read ? { kind: 'triangles', surface: read } : null;
}

/** Stop listing after this many problems of one kind: a broken mesh has thousands. */
const LISTED = 5;

function readTriangles(surface: Json, problems: Problem[]): NamedTriangles | null {
  const before = problems.length;
  const { vertices, triangles, patch } = surface;
  for (const [name, list] of Object.entries({ vertices, triangles, patch }))
    if (!Array.isArray(list) || list.length === 0)
      problems.push({
        code: 'surface-incomplete',
        path: `surface.${name}`,
        message: `surface.${name} should be a list that is not empty; it is ${list === undefined ? 'missing' : JSON.stringify(list).slice(0, 40)}.`,
      });
  if (problems.length > before) return null;
  const points = vertices as unknown[];
  const faces = triangles as unknown[];
  const names = patch as unknown[];
  if (names.length !== faces.length)
    problems.push({
      code: 'patch-count',
      path: 'surface.patch',
      message: `There are ${faces.length} triangles but ${names.length} patch names; each triangle needs one.`,
    });
  const out: NamedTriangles = {
    vertices: new Float64Array(3 * points.length),
    triangles: new Int32Array(3 * faces.length),
    patch: names.map(String),
  };
  const triple = (v: unknown): v is number[] => Array.isArray(v) && v.length === 3;
  listFew(points, problems, (point, i) => {
    if (triple(point) && point.every((x) => typeof x === 'number' && Number.isFinite(x))) {
      out.vertices.set(point, 3 * i);
      return null;
    }
    return {
      code: 'vertex-not-finite',
      path: `surface.vertices[${i}]`,
      message: `A vertex is three finite numbers in metres; this one is ${JSON.stringify(point)?.slice(0, 60)}.`,
    };
  });
  listFew(faces, problems, (face, i) => {
    const whole = triple(face) && face.every((k) => Number.isInteger(k) && k >= 0 && k < points.length);
    if (whole) {
      out.triangles.set(face as number[], 3 * i);
      return null;
    }
    return {
      code: 'index-out-of-range',
      path: `surface.triangles[${i}]`,
      message: `A triangle is three vertex numbers from 0 to ${points.length - 1}; this one is ${JSON.stringify(face)?.slice(0, 60)}.`,
    };
  });
  return problems.length > before ? null : out;
}

function listFew<T>(
  list: readonly T[],
  problems: Problem[],
  check: (item: T, i: number) => Problem | null,
): void {
  let found = 0;
  list.forEach((item, i) => {
    const problem = check(item, i);
    if (problem && ++found <= LISTED) problems.push(problem);
  });
  if (found > LISTED)
    problems[problems.length - 1].message += ` (${found - LISTED} more like it are not listed.)`;
}

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

/** The same over panels that were made from bodies; walls (`WALL`) need not be described. */
export function readPanelCase(
  input: unknown,
  surface: PanelSurface,
  mirrorHeight: number | undefined,
  problems: Problem[],
): FieldCase | null {
  const warnings: Problem[] = [];
  const described = isObject(input) && isObject(input.patches) ? input.patches : {};
  const found = readAround(
    isObject(input) ? { ...input, patches: { [WALL]: { role: 'insulator' }, ...described } } : input,
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
    warnings: warnings.filter((w) => w.path !== `patches.${WALL}`),
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
    most: 1e6,
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
        message: `The role ${JSON.stringify(spec.role)} is not known.`,
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
    ...(kind === 'current' ? { above: 0 } : { least: -ABSURD }),
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

/** Plane panels over the triangles; slivers without area are left out, a triangle given twice is refused. */
function flatPanels(
  { vertices, triangles, patch }: NamedTriangles,
  names: readonly string[],
  problems: Problem[],
  warnings: Problem[],
): PanelSurface | null {
  const vertexCount = vertices.length / 3;
  const nodes: number[] = Array.from(vertices);
  const middle = new Map<number, number>();
  const mid = (a: number, b: number): number => {
    const key = a < b ? a * vertexCount + b : b * vertexCount + a;
    const known = middle.get(key);
    if (known !== undefined) return known;
    const number = nodes.length / 3;
    for (let d = 0; d < 3; d++) nodes.push(0.5 * (vertices[3 * a + d] + vertices[3 * b + d]));
    middle.set(key, number);
    return number;
  };
  const panels: number[] = [];
  const ofPanel: number[] = [];
  const seen = new Map<string, number>();
  let empty = 0;
  for (let t = 0; t < patch.length; t++) {
    const [a, b, c] = triangles.subarray(3 * t, 3 * t + 3);
    if (!hasArea(vertices, a, b, c)) {
      empty++;
      continue;
    }
    const key = [a, b, c].sort((x, y) => x - y).join();
    const twin = seen.get(key);
    if (twin !== undefined && problems.length < LISTED)
      problems.push({
        code: 'triangle-twice',
        path: `surface.triangles[${t}]`,
        message: `This triangle has the same corners as triangle ${twin}.`,
        hint: 'Remove one; a surface may not lie on itself.',
      });
    seen.set(key, t);
    panels.push(a, b, c, mid(a, b), mid(b, c), mid(c, a));
    ofPanel.push(names.indexOf(patch[t]));
  }
  if (empty > 0)
    warnings.push({
      code: 'triangle-without-area',
      path: 'surface.triangles',
      message: `${empty} triangles have no area and were left out.`,
    });
  if (ofPanel.length === 0) {
    problems.push({
      code: 'surface-empty',
      path: 'surface',
      message: 'No triangle of the surface has any area.',
    });
    return null;
  }
  return {
    nodes: Float64Array.from(nodes),
    panels: Int32Array.from(panels),
    patch: Int32Array.from(ofPanel),
    body: new Int32Array(ofPanel.length),
    patchNames: [...names],
  };
}

/** Twice the area against the longest side squared: below rounding there is no triangle. */
function hasArea(v: Float64Array, a: number, b: number, c: number): boolean {
  const p = [0, 1, 2].map((d) => v[3 * b + d] - v[3 * a + d]);
  const q = [0, 1, 2].map((d) => v[3 * c + d] - v[3 * a + d]);
  const cross = Math.hypot(p[1] * q[2] - p[2] * q[1], p[2] * q[0] - p[0] * q[2], p[0] * q[1] - p[1] * q[0]);
  const longest = Math.max(Math.hypot(...p), Math.hypot(...q), Math.hypot(...p.map((x, d) => x - q[d])));
  return cross > 1e-10 * longest * longest;
}
