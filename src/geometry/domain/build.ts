import { UNWATCHED, type Watch } from '../../numerics/index.js';
import { done, type Outcome, refused } from '../../units/index.js';
import { volumeBelow } from '../panels/measure.js';
import { meshSolid } from '../panels/mesh/solid.js';
import type { Quality } from '../panels/size.js';
import { facets } from '../panels/skin.js';
import { piecesOf } from '../shapes/compound.js';
import { solidOf } from '../shapes/make.js';
import { type Placed, placed } from '../shapes/placed.js';
import { place } from '../shapes/placement.js';
import type { Placement } from '../shapes/shape.js';
import type { Solid } from '../shapes/solid.js';
import type { Vec3 } from '../shapes/vector.js';
import type { TriangleMesh } from '../surface.js';
import { assemble } from './assemble.js';
import { blockOf, madeOf, reusable } from './blocks.js';
import { type Booleans, loadBooleans } from './booleans.js';
import { checkSetUp, checkSpec } from './check.js';
import type { Block, Domain, Gap } from './domain.js';
import { gapFunction } from './gaps.js';
import { groupsOf } from './groups.js';
import { joinBodies } from './join.js';
import type { BodySpec, DomainSpec } from './spec.js';
import { cavity, fillHeight } from './vessel.js';
import { wetPanels } from './wet.js';

export interface BuildOptions {
  quality: Quality;
  watch?: Watch;
  /** A domain built before: bodies that did not change keep their panels, array for array. */
  previous?: Domain;
  /** For bodies that touch each other; loaded here when absent, which works in Node but not in a browser. */
  booleans?: Booleans;
}

/** The set-up with every compound shape taken apart into pieces of one lead and patch. */
function takenApart(spec: DomainSpec): DomainSpec {
  const bodies = spec.bodies.flatMap((body): BodySpec[] => {
    if (body.form.kind === 'mesh') return [body];
    const pieces = piecesOf({ shape: body.form, placement: body.placement });
    if (pieces.length === 1) return [body];
    return pieces.map(({ shape, placement }, k) => ({
      ...body,
      name: k === 0 ? body.name : `${body.name}, piece ${k + 1}`,
      patch: body.patch ?? body.name,
      form: shape,
      placement,
    }));
  });
  return { ...spec, bodies };
}

/** Cuts everything that touches the electrolyte into panels. Refuses set-ups that cannot be plated in, with all reasons. */
export async function buildDomain(whole: DomainSpec, options: BuildOptions): Promise<Outcome<Domain>> {
  const { quality, watch = UNWATCHED, previous } = options;
  let { booleans } = options;
  const wrong = checkSpec(whole);
  if (wrong.length > 0) return refused(...wrong);
  const spec = takenApart(whole);
  const bodies = spec.bodies.map((b) => placed(solidFor(b.form), b.placement));
  const height = liquidHeight(spec, bodies);
  if (height && !height.ok) return height;
  const liquid = height?.value;
  const inside = spec.vessel && liquid !== undefined ? cavity(spec.vessel, liquid) : undefined;
  watch.report(0.1, 'Looking at what is near what');
  const coarse = bodies.map((b) => standing(b.solid, b.placement));
  const { gaps, groups, touching } = groupsOf(spec.bodies, bodies, coarse, inside, liquid);
  const { problems, warnings } = checkSetUp(spec, coarse, gaps, liquid);
  if (problems.length > 0) return refused(...problems);

  bodies.forEach((body, i) => {
    for (const remark of body.solid.remarks ?? []) warnings.push({ ...remark, path: `bodies[${i}].form` });
  });

  const blocks: Block[] = [];
  const kept: Domain['kept'] = [];
  const joined = (i: number, j: number): boolean => touching.has(i * bodies.length + j);
  for (const group of groups) {
    watch.report(
      0.2 + (0.7 * blocks.length) / (groups.length + 1),
      `Cutting ${spec.bodies[group[0]!]!.name} into panels`,
    );
    const gapsOf = group.map((i) => gapFunction(i, bodies, joined, inside, under(liquid, coarse[i]!)));
    const made = madeOf(spec, group, quality, liquid, coarse);
    // A joined body that the liquid cuts reaches its own mirror image there, which says nothing about its panels.
    const around =
      made.cutAt === undefined ? gapsOf : group.map((i) => gapFunction(i, bodies, joined, inside, undefined));
    const gap = (p: Vec3): number => Math.min(...around.map((f) => f(p)));
    const old = previous && reusable(previous, group, made, gap);
    kept.push(old?.how ?? 'new');
    if (old) blocks.push(old.block);
    else if (group.length === 1) {
      const first = group[0]!;
      const skin = wetPanels(bodies[first]!, quality, gapsOf[0]!, liquid, watch);
      for (const remark of skin.remarks ?? []) warnings.push({ ...remark, path: `bodies[${first}].form` });
      blocks.push(blockOf(group, first, skin, made));
    } else {
      booleans ??= await loadBooleans();
      const members = group.map((i) => bodies[i]!);
      const one = joinBodies(members, gapsOf, quality, liquid, booleans, watch);
      if (!one.ok) return one;
      warnings.push(...one.warnings);
      const { skin, member } = one.value;
      blocks.push({ ...blockOf(group, -1, skin, made), owner: member.map((k) => group[k]!) });
    }
  }
  if (watch.cancelled()) return refused(CANCELLED);
  if (inside) {
    const gap = gapFunction(-1, bodies, joined, inside, undefined);
    const made = { form: JSON.stringify([quality, spec.vessel]), placements: [], cutAt: liquid! };
    const old = previous && reusable(previous, [], made, gap);
    kept.push(old?.how ?? 'new');
    blocks.push(old?.block ?? blockOf([], -1, inside.panels({ quality, gap }), made));
  }
  return done(finish(spec, quality, blocks, kept, gaps, liquid), warnings);
}

const CANCELLED = { code: 'cancelled', path: '', message: 'Stopped before the panels were done.' };

function finish(
  spec: DomainSpec,
  quality: Quality,
  blocks: Block[],
  kept: Domain['kept'],
  gaps: Gap[],
  liquid: number | undefined,
): Domain {
  const { surface, areas } = assemble(blocks, spec.bodies);
  const volumes = blocks.map((b) => volumeBelow(b, liquid ?? 0));
  const join = (arrays: Int32Array[]): Int32Array => Int32Array.from(arrays.flatMap((a) => [...a]));
  return {
    spec,
    quality,
    surface,
    blocks,
    ...(liquid !== undefined && { mirrorHeight: liquid }),
    areas,
    volumes,
    liquidVolume: spec.vessel
      ? volumes.at(-1)! - volumes.slice(0, -1).reduce((a, b) => a + b, 0)
      : Number.NaN,
    gaps,
    owner: join(blocks.map((b) => b.owner)),
    face: join(blocks.map((b) => b.face)),
    kept,
  };
}

/** Reading a mesh takes a while; the same mesh is read once. */
const readMeshes = new WeakMap<TriangleMesh, Solid>();

function solidFor(form: DomainSpec['bodies'][number]['form']): Solid {
  if (form.kind !== 'mesh') return solidOf(form);
  const known = readMeshes.get(form.mesh) ?? meshSolid(form.mesh);
  readMeshes.set(form.mesh, known);
  return known;
}

/** Nodes of draft panels of the whole body where it stands, liquid or not. */
function standing(solid: Solid, placement: Placement): Float64Array {
  const nodes = solid.samples ?? solid.panels({ quality: 'draft' }).nodes;
  const out = new Float64Array(nodes.length);
  for (let i = 0; i < nodes.length; i += 3)
    out.set(place(placement, [nodes[i]!, nodes[i + 1]!, nodes[i + 2]!]), i);
  return out;
}

/** Liquid height when all of a body is under it: then its mirror image is a neighbour. */
const under = (liquid: number | undefined, nodes: Float64Array): number | undefined => {
  if (liquid === undefined) return undefined;
  for (let i = 2; i < nodes.length; i += 3) if (nodes[i]! >= liquid) return undefined;
  return liquid;
};

function liquidHeight(spec: DomainSpec, bodies: Placed[]): Outcome<number> | undefined {
  if (!spec.vessel) return undefined;
  if (spec.liquidHeight !== undefined) return done(spec.liquidHeight);
  const skins = bodies
    .filter((_, i) => spec.bodies[i]!.role !== 'clip')
    .map((b) => {
      const skin = b.solid.tessellate(1e-3 * b.reach);
      const flat = facets(skin);
      // Facets lie inside round surfaces; the exact volume of the whole corrects the part below.
      const whole = volumeOfFacets(flat.vertices, flat.triangles, 1e9);
      const scale = Number.isFinite(b.solid.volume) && whole > 0 ? b.solid.volume / whole : 1;
      const vertices = new Float64Array(flat.vertices.length);
      for (let i = 0; i < vertices.length; i += 3)
        vertices.set(
          place(b.placement, [flat.vertices[i]!, flat.vertices[i + 1]!, flat.vertices[i + 2]!]),
          i,
        );
      return { vertices, triangles: flat.triangles, scale };
    });
  return fillHeight(spec.vessel, spec.liquidVolume!, (h) =>
    skins.reduce((sum, s) => sum + s.scale * volumeOfFacets(s.vertices, s.triangles, h), 0),
  );
}

/** Volume [m3] of a closed flat-faced body below a height: flux of (0, 0, z - height) through its clipped triangles. */
export function volumeOfFacets(vertices: Float64Array, triangles: Uint32Array, height: number): number {
  let volume = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const p = [0, 1, 2].map((k) => vertices.subarray(3 * triangles[t + k]!, 3 * triangles[t + k]! + 3));
    const [ax, ay] = [p[1]![0]! - p[0]![0]!, p[1]![1]! - p[0]![1]!];
    const [bx, by] = [p[2]![0]! - p[0]![0]!, p[2]![1]! - p[0]![1]!];
    const shadow = (ax * by - ay * bx) / 2;
    volume += shadow * depthMean(p[0]![2]! - height, p[1]![2]! - height, p[2]![2]! - height);
  }
  return volume;
}

/** Mean over a triangle of min(z, 0) for corner values of z. */
function depthMean(a: number, b: number, c: number): number {
  const [low, mid, high] = [a, b, c].sort((x, y) => x - y) as [number, number, number];
  if (high <= 0) return (low + mid + high) / 3;
  if (low >= 0) return 0;
  // One corner below: a small triangle; two below: the whole less the small triangle above.
  if (mid >= 0) return ((low / (low - mid)) * (low / (low - high)) * low) / 3;
  return (low + mid + high) / 3 - ((high / (high - mid)) * (high / (high - low)) * high) / 3;
}
