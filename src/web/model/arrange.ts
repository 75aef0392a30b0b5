import { fromSI, parseQuantity, plain } from '../../units/index.js';

/** A first set-up for a part: the smallest vessel it hangs freely in, the anodes on both sides, the liquid above it. */
export interface ShelfThing {
  kind: string;
  name: string;
  document: Record<string, unknown>;
}

/** The pieces of a job document that say where things stand. */
export interface Arrangement {
  vessel: Record<string, unknown> & { depth: string };
  position: [string, string, string];
  anodes: {
    name: string;
    metal: string;
    solid: unknown;
    position: [string, string, string];
  }[];
}

/** Room a first set-up leaves, in metres. Common practice, no source. */
const ROOM = { aroundPart: 0.02, belowPart: 0.015, abovePart: 0.012, wall: 0.004, freeboard: 0.15 };

const metres = (value: unknown): number | undefined => {
  const read = parseQuantity(value, 'length');
  return read.ok ? read.value : undefined;
};
const mm = (value: number): string =>
  `${plain(Math.round(fromSI(value, 'mm', 'length') * 10) / 10, 4).replace(/\.?0+$/, '')} mm`;

interface Round {
  diameter: number;
  height: number;
  document: Record<string, unknown>;
}

/** Round vessels of the shelf, small to large. */
const roundVessels = (shelf: ShelfThing[]): Round[] =>
  shelf
    .filter((s) => s.kind === 'vessel')
    .flatMap(({ document }) => {
      const [diameter, height] = [metres(document.diameter), metres(document.height)];
      return diameter && height && document.kind === 'beaker' ? [{ diameter, height, document }] : [];
    })
    .sort((a, b) => a.diameter * a.height - b.diameter * b.height);

const stripOf = (shelf: ShelfThing[], metal: string): Record<string, unknown> | undefined =>
  shelf.find((s) => s.kind === 'anode' && s.document.metal === metal)?.document;

/**
 * @param size bounds of the part [m], as it hangs
 * @param metal of the anodes, as the bath deposits it
 * @returns undefined when no vessel of the shelf is big enough
 */
export function arrange(
  size: readonly [number, number, number],
  metal: string,
  shelf: ShelfThing[],
): Arrangement | undefined {
  const strip = stripOf(shelf, metal);
  const shape = (strip?.solid as { shape?: Record<string, unknown> } | undefined)?.shape;
  const thickness = metres(shape?.y) ?? 0.0015;
  const length = metres(shape?.z) ?? 0.1;
  const radius = Math.hypot(size[0], size[1]) / 2 + ROOM.aroundPart + thickness + ROOM.wall;
  const tall = size[2] + ROOM.belowPart + ROOM.abovePart;
  const fits = roundVessels(shelf).find(
    (v) => v.diameter / 2 >= radius && v.height * (1 - ROOM.freeboard) >= tall,
  );
  if (!fits) return undefined;
  const depth = fits.height * (1 - ROOM.freeboard);
  const middle = Math.max(
    ROOM.belowPart + size[2] / 2,
    Math.min(depth / 2, depth - ROOM.abovePart - size[2] / 2),
  );
  const out = fits.diameter / 2 - ROOM.wall - thickness / 2 - 0.002;
  const standing = Math.max(length / 2 + 0.006, depth - length / 2 + 0.012);
  const anode = (side: 1 | -1): Arrangement['anodes'][number] => ({
    name: side < 0 ? 'front anode' : 'back anode',
    metal,
    solid: strip?.solid ?? { shape: { kind: 'box', x: '20 mm', y: mm(thickness), z: mm(length) } },
    position: ['0 mm', mm(side * out), mm(standing)],
  });
  return {
    vessel: { ...fits.document, depth: mm(depth) },
    position: ['0 mm', '0 mm', mm(middle)],
    anodes: [anode(-1), anode(1)],
  };
}
