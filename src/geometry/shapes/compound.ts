import { combine } from './placement.js';
import type { PlacedShape, Shape } from './shape.js';

/** A shape made of several that overlap, piece by piece; a plain shape is its own only piece. */
export function piecesOf({ shape, placement }: PlacedShape): PlacedShape[] {
  if (shape.kind !== 'round-case') return [{ shape, placement }];
  return [
    { shape: ringOf(shape), placement },
    ...lugsOf(shape).map((lug) => ({ ...lug, placement: combine(placement, lug.placement) })),
  ];
}

type Case = Extract<Shape, { kind: 'round-case' }>;

const ringOf = (shape: Case): Shape => ({
  kind: 'tube',
  outerDiameter: shape.diameter,
  innerDiameter: shape.bore,
  length: shape.height,
  rounding: shape.rounding,
});

/** Four lugs as boxes that start in the middle of the case wall. */
function lugsOf(shape: Case): PlacedShape[] {
  const { strap, width, reach, height } = shape.lugs;
  const wall = (shape.bore + shape.diameter) / 4;
  const x = (strap + width) / 2;
  const start = Math.sqrt(Math.max(0, wall ** 2 - x ** 2));
  return [-1, 1].flatMap((across) =>
    [-1, 1].map((along) => ({
      shape: { kind: 'box', x: width, y: reach - start, z: height } as Shape,
      placement: { position: [across * x, (along * (reach + start)) / 2, 0] as const },
    })),
  );
}
