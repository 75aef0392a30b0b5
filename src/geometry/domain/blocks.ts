import type { Quality } from '../panels/size.js';
import type { Skin } from '../panels/skin.js';
import { place, unplace } from '../shapes/placement.js';
import type { Placement } from '../shapes/shape.js';
import type { Vec3 } from '../shapes/vector.js';
import type { TriangleMesh } from '../surface.js';
import type { Block, Domain, Made } from './domain.js';
import { fineEnough } from './gaps.js';
import type { DomainSpec } from './spec.js';
import { heights } from './wet.js';

/** A block of one body's skin. */
export const blockOf = (bodies: number[], owner: number, skin: Skin, made: Made): Block => ({
  bodies,
  nodes: skin.nodes,
  panels: skin.panels,
  owner: new Int32Array(skin.face.length).fill(owner),
  face: skin.face,
  made,
});

/** Meshes are told apart by identity: they are too large to compare. */
const meshNumbers = new WeakMap<TriangleMesh, number>();
let meshes = 0;
function meshNumber(mesh: TriangleMesh): number {
  const known = meshNumbers.get(mesh);
  if (known !== undefined) return known;
  meshNumbers.set(mesh, ++meshes);
  return meshes;
}

/** What the panels of a group of bodies depend on. */
export function madeOf(
  spec: DomainSpec,
  group: number[],
  quality: Quality,
  liquid: number | undefined,
  nodes: Float64Array[],
): Made {
  const cut = liquid !== undefined && group.some((i) => heights(nodes[i]!)[1] > liquid);
  const forms = group.map((i) => {
    const form = spec.bodies[i]!.form;
    return form.kind === 'mesh' ? `mesh ${meshNumber(form.mesh)}` : form;
  });
  return {
    form: JSON.stringify([quality, forms]),
    placements: group.map((i) => spec.bodies[i]!.placement),
    ...(cut && { cutAt: liquid! }),
  };
}

/**
 * The block of an earlier domain these bodies can take over: as it is when nothing moved, or carried along when the
 * whole group moved as one and the liquid surface still meets it in the same place.
 */
export function reusable(
  previous: Domain,
  group: number[],
  made: Made,
  gap: (p: Vec3) => number,
): { block: Block; how: 'same' | 'moved' } | undefined {
  const old = previous.blocks.find(
    (b) =>
      b.made.form === made.form &&
      b.bodies.length === group.length &&
      b.bodies.every((i, k) => i === group[k]),
  );
  if (!old || old.made.cutAt !== made.cutAt) return undefined;
  const still = old.made.placements.every((p, k) => samePlace(p, made.placements[k]!));
  if (still)
    return fineEnough(old, previous.quality, gap, group.length === 0)
      ? { block: old, how: 'same' }
      : undefined;
  const nodes = carried(old, made);
  if (!nodes) return undefined;
  const block = { ...old, nodes, made };
  return fineEnough(block, previous.quality, gap, group.length === 0) ? { block, how: 'moved' } : undefined;
}

function samePlace(a: Placement, b: Placement): boolean {
  const turns = (p: Placement): readonly number[] => p.turn ?? [0, 0, 0, 1];
  return a.position.every((x, k) => x === b.position[k]) && turns(a).every((x, k) => x === turns(b)[k]);
}

/** Nodes moved with the bodies; undefined unless all moved alike and a cut rim stays at its height. */
function carried(old: Block, made: Made): Float64Array | undefined {
  const carry = (k: number, p: Vec3): Vec3 => place(made.placements[k]!, unplace(old.made.placements[k]!, p));
  const nodes = new Float64Array(old.nodes.length);
  for (let i = 0; i < nodes.length; i += 3) {
    const p: Vec3 = [old.nodes[i]!, old.nodes[i + 1]!, old.nodes[i + 2]!];
    const q = carry(0, p);
    for (let k = 1; k < made.placements.length; k++) {
      const r = carry(k, p);
      if (Math.hypot(q[0] - r[0], q[1] - r[1], q[2] - r[2]) > 1e-9) return undefined;
    }
    // Where the liquid cuts the body it may slide and turn under the surface, but not rise or tilt.
    if (made.cutAt !== undefined && Math.abs(q[2] - p[2]) > 1e-9) return undefined;
    nodes.set(q, i);
    if (made.cutAt !== undefined) nodes[i + 2] = p[2];
  }
  return nodes;
}
