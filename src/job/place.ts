import {
  type BodySpec,
  type DomainSpec,
  facets,
  type Placement,
  piecesOf,
  place,
  solidOf,
  type TriangleMesh,
  turnAbout,
  type Vec3,
  type Vessel,
} from '../geometry/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import type { Job } from './schema.js';

/** From the job to things standing in a vessel. Meshes come from the door, imported and repaired, by file name. */
export interface Placed {
  spec: DomainSpec;
  /** Where each body of the spec stands in the job file, e.g. `anodes[0]`, to tell problems where they belong. */
  paths: string[];
  /** The part before it is placed, for regions and for showing results on it. */
  part: { form: BodySpec['form']; placement: Placement };
}

type Solid = Job['part']['solid'];

const FLEX = 1e-3; // flats of drawn shapes stay within this share of their size

/** Triangles of a form in its own coordinates; pieces of a compound shape overlap, which does for drawing. */
export function meshOf(form: BodySpec['form']): TriangleMesh {
  if (form.kind === 'mesh') return form.mesh;
  const pieces = piecesOf({ shape: form, placement: { position: [0, 0, 0] } }).map((piece): TriangleMesh => {
    const solid = solidOf(piece.shape);
    const { min, max } = solid.bounds;
    const size = Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
    const { vertices, triangles } = facets(solid.tessellate(FLEX * size));
    const placed = new Float64Array(vertices.length);
    for (let i = 0; i < vertices.length; i += 3)
      placed.set(place(piece.placement, [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!]), i);
    return { vertices: placed, triangles };
  });
  return pieces.reduce(beside);
}

const beside = (a: TriangleMesh, b: TriangleMesh): TriangleMesh => ({
  vertices: Float64Array.from([...a.vertices, ...b.vertices]),
  triangles: Uint32Array.from([...a.triangles, ...b.triangles.map((v) => v + a.vertices.length / 3)]),
});

/**
 * Puts every body of the job into the vessel.
 * @param turn further turn of the part and its hook about the vertical through the hook [rad], for poses.
 */
export function placeJob(job: Job, meshes: ReadonlyMap<string, TriangleMesh>, turn = 0): Outcome<Placed> {
  const problems: Problem[] = [];
  const bodies: BodySpec[] = [];
  const paths: string[] = [];
  const add = (path: string, solid: Solid, body: Omit<BodySpec, 'form'>): void => {
    const form = formOf(solid, meshes, `${path}.solid`);
    if (form.ok) {
      bodies.push({ ...body, form: form.value });
      paths.push(path);
    } else problems.push(...form.problems);
  };

  const placement = placementOf(job.part.position, job.part.turn);
  add('part', job.part.solid, { name: 'part', role: 'part', placement });
  job.anodes.forEach((anode, i) => {
    const name = anode.name ?? (job.anodes.length > 1 ? `anode ${i + 1}` : 'anode');
    add(`anodes[${i}]`, anode.solid, {
      name,
      role: 'anode',
      placement: placementOf(anode.position, anode.turn),
    });
  });
  job.shields.forEach((shield, i) => {
    const name = shield.name ?? `shield ${i + 1}`;
    add(`shields[${i}]`, shield.solid, {
      name,
      role: 'shield',
      placement: placementOf(shield.position, shield.turn),
    });
  });
  job.robbers.forEach((robber, i) => {
    const name = robber.name ?? `robber ${i + 1}`;
    add(`robbers[${i}]`, robber.solid, {
      name,
      role: 'robber',
      placement: placementOf(robber.position, robber.turn),
      lead: 'work',
    });
  });
  const vessel = vesselOf(job.vessel);
  if (!vessel.ok) problems.push(...vessel.problems);
  if (problems.length || !vessel.ok) return refused(...problems);

  const part = bodies[0]!;
  if (job.hook) {
    const top = job.hook.at ?? topOf(meshOf(part.form), placement);
    const height = job.vessel.height + 0.02;
    bodies.splice(1, 0, {
      name: 'hook',
      role: 'hook',
      form: {
        kind: 'wire',
        diameter: job.hook.diameter,
        path: [
          [0, 0, 0],
          [0, 0, Math.max(0.01, height - top[2])],
        ],
      },
      placement: { position: top },
    });
    paths.splice(1, 0, 'hook');
    if (turn) turnAround(bodies.slice(0, 2), top, turn);
  } else if (turn) turnAround([part], placement.position, turn);

  const level =
    job.vessel.depth !== undefined
      ? { liquidHeight: job.vessel.depth }
      : { liquidVolume: job.vessel.volume! };
  return done({
    spec: { bodies, vessel: vessel.value, ...level },
    paths,
    part: { form: part.form, placement: part.placement },
  });
}

/** Turns bodies about the vertical through a point. */
function turnAround(bodies: BodySpec[], about: Vec3, angle: number): void {
  const spin: Placement = { position: [0, 0, 0], turn: turnAbout([0, 0, 1], angle) };
  for (const body of bodies) {
    const { position, turn } = body.placement;
    const [x, y, z] = place(spin, [position[0] - about[0], position[1] - about[1], position[2]]);
    const own: Placement = { position: [0, 0, 0], ...(turn && { turn }) };
    body.placement = { position: [x + about[0], y + about[1], z], turn: product(spin.turn!, own.turn) };
  }
}

type Quaternion = NonNullable<Placement['turn']>;

const product = (a: Quaternion, b: Quaternion = [0, 0, 0, 1]): Quaternion => [
  a[3] * b[0] + a[0] * b[3] + a[1] * b[2] - a[2] * b[1],
  a[3] * b[1] - a[0] * b[2] + a[1] * b[3] + a[2] * b[0],
  a[3] * b[2] + a[0] * b[1] - a[1] * b[0] + a[2] * b[3],
  a[3] * b[3] - a[0] * b[0] - a[1] * b[1] - a[2] * b[2],
];

/** Turns about the body's own x, y and z axes, in this order. */
export function placementOf(position: Vec3, turns?: readonly [number, number, number]): Placement {
  if (!turns?.some((angle) => angle !== 0)) return { position };
  const [x, y, z] = turns;
  const turn = product(product(turnAbout([1, 0, 0], x), turnAbout([0, 1, 0], y)), turnAbout([0, 0, 1], z));
  return { position, turn };
}

/** Files put their origin anywhere: the middle of the bounding box takes its place, as it does for shapes. */
function centred({ vertices, triangles }: TriangleMesh): TriangleMesh {
  const [low, high] = [
    [0, 1, 2].map(() => Number.POSITIVE_INFINITY),
    [0, 1, 2].map(() => Number.NEGATIVE_INFINITY),
  ];
  vertices.forEach((x, i) => {
    low[i % 3] = Math.min(low[i % 3]!, x);
    high[i % 3] = Math.max(high[i % 3]!, x);
  });
  return { vertices: vertices.map((x, i) => x - (low[i % 3]! + high[i % 3]!) / 2), triangles };
}

/** A solid of a job file as geometry takes it; files must have been read. */
export function formOf(
  solid: Solid,
  meshes: ReadonlyMap<string, TriangleMesh>,
  path: string,
): Outcome<BodySpec['form']> {
  if ('shape' in solid) return done(solid.shape);
  const mesh = meshes.get(solid.file);
  if (mesh) return done({ kind: 'mesh', mesh: centred(mesh) });
  return refused({
    code: 'file-not-read',
    path: `${path}.file`,
    message: `The part file ${solid.file} was not read.`,
    hint: 'Give its path relative to the job file.',
  });
}

export function vesselOf(vessel: Job['vessel']): Outcome<Vessel> {
  const { kind, height } = vessel;
  const need = (name: 'diameter' | 'length' | 'width'): Problem => ({
    code: 'missing',
    path: `vessel.${name}`,
    message: `A ${kind} needs its inside ${name}.`,
    hint: 'Measure the inside.',
  });
  if ((vessel.depth === undefined) === (vessel.volume === undefined))
    return refused({
      code: 'liquid-level',
      path: 'vessel',
      message:
        vessel.depth === undefined
          ? 'Nothing says how full the vessel is.'
          : 'Depth and volume of the liquid are both given.',
      hint: 'Give either `depth` or `volume` of the liquid.',
    });
  if (kind === 'box-tank') {
    const missing = (['length', 'width'] as const).filter((name) => vessel[name] === undefined).map(need);
    if (missing.length) return refused(...missing);
    return done({ kind, x: vessel.length!, y: vessel.width!, height });
  }
  if (vessel.diameter === undefined) return refused(need('diameter'));
  if (kind === 'jar')
    return done({
      kind,
      diameter: vessel.diameter,
      height,
      neckDiameter: vessel.neck ?? 0.75 * vessel.diameter,
      neckHeight: 0.9 * height,
    });
  return done({ kind, diameter: vessel.diameter, height });
}

/** Where a hook meets a part by default: on the highest metal, in the middle of what is highest if that is metal. */
function topOf(mesh: TriangleMesh, placement: Placement): Vec3 {
  const points: Vec3[] = [];
  for (let i = 0; i < mesh.vertices.length; i += 3)
    points.push(place(placement, [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!]));
  let top = -Infinity;
  let bottom = Infinity;
  for (const p of points) {
    top = Math.max(top, p[2]);
    bottom = Math.min(bottom, p[2]);
  }
  const high = points.filter((p) => p[2] > top - 2e-3 * (top - bottom));
  const mean = high.reduce<Vec3>(
    (m, p) => [m[0] + p[0] / high.length, m[1] + p[1] / high.length, top],
    [0, 0, top],
  );
  const onMetal = triangleUnder(mesh, placement, mean);
  if (onMetal !== undefined && onMetal > top - 0.02 * (top - bottom)) return [mean[0], mean[1], onMetal];
  // The middle is a hole (a ring lying flat): take the middle of one highest triangle instead.
  let best: Vec3 = [...high[0]!];
  let most = -1;
  const corner = (t: number, k: number) => points[mesh.triangles[t + k]!]!;
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [corner(t, 0), corner(t, 1), corner(t, 2)];
    if (Math.min(a[2], b[2], c[2]) < top - 2e-3 * (top - bottom)) continue;
    const area = Math.abs((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]));
    if (area <= most) continue;
    most = area;
    best = [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3];
  }
  return best;
}

/** Height of the highest triangle above or below (x, y); undefined where there is none. */
function triangleUnder(mesh: TriangleMesh, placement: Placement, [x, y]: Vec3): number | undefined {
  let height: number | undefined;
  const at = (i: number): Vec3 =>
    place(placement, [mesh.vertices[3 * i]!, mesh.vertices[3 * i + 1]!, mesh.vertices[3 * i + 2]!]);
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [at(mesh.triangles[t]!), at(mesh.triangles[t + 1]!), at(mesh.triangles[t + 2]!)];
    const det = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
    if (det === 0) continue;
    const u = ((x - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (y - a[1])) / det;
    const v = ((b[0] - a[0]) * (y - a[1]) - (x - a[0]) * (b[1] - a[1])) / det;
    if (u < 0 || v < 0 || u + v > 1) continue;
    const z = a[2] + u * (b[2] - a[2]) + v * (c[2] - a[2]);
    if (height === undefined || z > height) height = z;
  }
  return height;
}
