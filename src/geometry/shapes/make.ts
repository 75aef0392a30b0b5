import type { Skin } from '../panels/skin.js';
import { box } from './box.js';
import { piecesOf } from './compound.js';
import { flatSolid } from './flat.js';
import { moved, placed } from './placed.js';
import { roundSolid } from './round.js';
import type { Shape } from './shape.js';
import { rectangularSheet, roundSheet } from './sheet.js';
import type { Solid } from './solid.js';
import type { Vec3 } from './vector.js';
import { wireSolid } from './wire.js';

/** The geometry of a checked shape, in its own coordinates. */
export function solidOf(shape: Shape): Solid {
  switch (shape.kind) {
    case 'box':
      return box([shape.x, shape.y, shape.z]);
    case 'sheet':
      return rectangularSheet(shape.x, shape.y);
    case 'round-sheet':
      return roundSheet(shape.diameter / 2);
    case 'wire':
      return wireSolid(shape);
    case 'plate':
    case 'extruded':
      return flatSolid(shape);
    case 'round-case':
      return together(shape);
    default:
      return roundSolid(shape);
  }
}

/**
 * A compound shape as its overlapping pieces side by side, for looking at it and for distances. In a domain its pieces
 * are joined into one skin instead.
 */
function together(shape: Shape): Solid {
  const pieces = piecesOf({ shape, placement: { position: [0, 0, 0] } }).map((p) =>
    placed(solidOf(p.shape), p.placement),
  );
  const skins = (of: (solid: Solid) => Skin): Skin =>
    besides(pieces.map((p) => moved(of(p.solid), p.placement)));
  const all = skins((s) => s.panels({ quality: 'draft' })).nodes;
  const side = (k: number, pick: (...x: number[]) => number): number =>
    all.reduce((best, x, i) => (i % 3 === k ? pick(best, x) : best), all[k]!);
  return {
    faces: pieces.flatMap((p) => p.faces),
    distance: (q) => Math.min(...pieces.map((p) => p.distance(q))),
    panels: (request) => skins((s) => s.panels({ quality: request.quality })),
    tessellate: (within) => skins((s) => s.tessellate(within)),
    area: Number.NaN,
    volume: Number.NaN,
    tolerance: Math.min(...pieces.map((p) => p.solid.tolerance)),
    bounds: {
      min: [0, 1, 2].map((k) => side(k, Math.min)) as unknown as Vec3,
      max: [0, 1, 2].map((k) => side(k, Math.max)) as unknown as Vec3,
    },
  };
}

function besides(skins: Skin[]): Skin {
  const nodes: number[] = [];
  const panels: number[] = [];
  const face: number[] = [];
  for (const skin of skins) {
    const [node, first] = [nodes.length / 3, face.length === 0 ? 0 : Math.max(...face) + 1];
    nodes.push(...skin.nodes);
    panels.push(...[...skin.panels].map((n) => n + node));
    face.push(...[...skin.face].map((f) => f + first));
  }
  return { nodes: Float64Array.from(nodes), panels: Int32Array.from(panels), face: Int32Array.from(face) };
}
