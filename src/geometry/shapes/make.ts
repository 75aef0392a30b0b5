import { box } from './box.js';
import { flatSolid } from './flat.js';
import { roundSolid } from './round.js';
import type { Shape } from './shape.js';
import { rectangularSheet, roundSheet } from './sheet.js';
import type { Solid } from './solid.js';
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
      throw new Error('a compound shape is made piece by piece');
    default:
      return roundSolid(shape);
  }
}
