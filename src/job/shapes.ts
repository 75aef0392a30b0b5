import { z } from 'zod';
import type { Shape } from '../geometry/index.js';
import { quantity } from './quantity.js';

/** Shapes of a job file: the same as geometry's, with every length as text. */

const length = (example: string) => quantity('length', example);
const some = (example: string) => length(example).exactOptional();
const corner = z.tuple([length('8 mm'), length('0 mm')]);
const point = z.tuple([length('0 mm'), length('0 mm'), length('60 mm')]);

const kinds = [
  z.strictObject({
    kind: z.literal('band-ring'),
    outerDiameter: length('20 mm'),
    thickness: length('2 mm'),
    height: length('6 mm'),
    rounding: length('0.4 mm'),
  }),
  z.strictObject({
    kind: z.literal('disc'),
    diameter: length('30 mm'),
    thickness: length('2 mm'),
    rounding: some('0.2 mm'),
  }),
  z.strictObject({
    kind: z.literal('rod'),
    diameter: length('6 mm'),
    length: length('60 mm'),
    rounding: some('0.5 mm'),
  }),
  z.strictObject({
    kind: z.literal('tube'),
    outerDiameter: length('12 mm'),
    innerDiameter: length('10 mm'),
    length: length('40 mm'),
    rounding: some('0.2 mm'),
  }),
  z.strictObject({ kind: z.literal('sphere'), diameter: length('10 mm') }),
  z.strictObject({
    kind: z.literal('spheroid'),
    equatorDiameter: length('10 mm'),
    poleDiameter: length('20 mm'),
  }),
  z.strictObject({
    kind: z.literal('torus'),
    ringDiameter: length('18 mm'),
    sectionDiameter: length('2 mm'),
  }),
  z.strictObject({ kind: z.literal('box'), x: length('20 mm'), y: length('10 mm'), z: length('5 mm') }),
  z.strictObject({
    kind: z.literal('plate'),
    x: length('40 mm'),
    y: length('20 mm'),
    thickness: length('1.5 mm'),
    cornerRadius: some('2 mm'),
    holes: z
      .array(z.strictObject({ x: length('10 mm'), y: length('0 mm'), diameter: length('4 mm') }))
      .exactOptional(),
  }),
  z.strictObject({
    kind: z.literal('lathed'),
    corners: z.array(corner).min(2).describe('[radius, height] going round the metal counter-clockwise'),
    rounding: some('0.3 mm'),
  }),
  z.strictObject({
    kind: z.literal('extruded'),
    outline: z.array(corner).min(3),
    holes: z.array(z.array(corner).min(3)).exactOptional(),
    height: length('3 mm'),
    cornerRadius: some('0.3 mm'),
  }),
  z.strictObject({
    kind: z.literal('wire'),
    diameter: length('0.8 mm'),
    path: z.array(point).min(2),
    bend: some('2 mm'),
    loop: z
      .strictObject({
        diameter: length('4 mm'),
        axis: z.tuple([z.number(), z.number(), z.number()]),
      })
      .exactOptional(),
  }),
  z.strictObject({
    kind: z.literal('round-case'),
    diameter: length('36 mm'),
    height: length('8 mm'),
    bore: length('28 mm'),
    rounding: length('0.5 mm'),
    lugs: z.strictObject({
      strap: length('18 mm'),
      width: length('3 mm'),
      reach: length('22 mm'),
      height: length('4 mm'),
    }),
  }),
] as const;

/** Text in, metres out; what the numbers mean is written beside geometry's `Shape`. */
export const shape = z
  .discriminatedUnion('kind', kinds)
  .transform((read): Exclude<Shape, { kind: 'sheet' | 'round-sheet' }> => read);
