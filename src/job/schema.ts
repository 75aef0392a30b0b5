import { z } from 'zod';
import { lengths, quantity, turns } from './quantity.js';
import { shape } from './shapes.js';

/**
 * The job file: what a person says about one piece of work. YAML or JSON; every quantity is text with a unit.
 * Positions are in the vessel: x and y from its axis, z up from the inside of its bottom.
 */

const share = (example: string) => quantity('fraction', example);

export const placement = {
  position: lengths().describe(
    'where the middle of the body hangs in the vessel; of a lathed, extruded or wire shape, its origin',
  ),
  turn: turns().optional().describe('turned about its own x, y and z axes, in this order'),
};

const region = z
  .union([
    z.strictObject({ box: z.strictObject({ from: lengths(), to: lengths() }) }),
    z.strictObject({ sphere: z.strictObject({ centre: lengths(), radius: quantity('length', '3 mm') }) }),
    z.strictObject({
      facing: z.strictObject({
        direction: z.tuple([z.number(), z.number(), z.number()]),
        within: quantity('angle', '60 deg'),
      }),
    }),
  ])
  .describe('a piece of the surface of the part, in the part own coordinates before it is placed');

export const solid = z.union([
  z.strictObject({ shape }),
  z.strictObject({
    file: z.string().describe('STL, OBJ, PLY, GLB, glTF or 3MF'),
    unit: z.enum(['mm', 'cm', 'm', 'in']).optional(),
  }),
]);

const part = z.strictObject({
  solid,
  substrate: z.string().describe('what it is made of, e.g. brass'),
  ...placement,
  significant: z
    .union([z.literal('all'), z.array(region).min(1)])
    .default('all')
    .describe('where the thickness counts'),
  masked: z.array(region).default([]).describe('stopped off with lacquer or tape'),
  areaUncertainty: share('3 %')
    .optional()
    .describe('how far the true area may be off, as a 90 % half-width; knurls and roughness count'),
});

const hook = z.strictObject({
  diameter: quantity('length', '0.5 mm'),
  at: lengths().optional().describe('where it meets the part, in the vessel; default: the top of the part'),
  metal: z.string().default('copper'),
  coated: z.boolean().default(false).describe('insulated except where it touches'),
});

export const vessel = z.strictObject({
  kind: z.enum(['beaker', 'jar', 'round-tank', 'box-tank']),
  diameter: quantity('length', '80 mm').optional(),
  neck: quantity('length', '60 mm').optional().describe('inside diameter of the neck of a jar'),
  length: quantity('length', '300 mm').optional(),
  width: quantity('length', '200 mm').optional(),
  height: quantity('length', '110 mm'),
  depth: quantity('length', '80 mm').optional().describe('liquid depth; or give the volume'),
  volume: quantity('volume', '400 mL').optional().describe('liquid volume, the immersed bodies not counted'),
});

const anode = z.strictObject({
  name: z.string().optional(),
  solid,
  metal: z.string().describe('the metal that dissolves, or "inert"'),
  ...placement,
});

const shield = z.strictObject({ name: z.string().optional(), solid, ...placement });
const robber = z.strictObject({ name: z.string().optional(), solid, ...placement });

const agitation = z.enum(['still', 'gentle', 'stirred', 'pumped']);

const bath = z.strictObject({
  record: z.string().describe('a bath of the library, e.g. watts-nickel'),
  temperature: quantity('temperature', '50 C').optional(),
  pH: z.number().min(-1).max(15).optional(),
  agitation: agitation.optional(),
  metal: quantity('massConcentration', '65 g/L').optional().describe('metal in solution, if you know better'),
  conductivity: quantity('conductivity', '8 S/m').optional().describe('measured, if you know better'),
});

const supply = z.strictObject({
  maxCurrent: quantity('current', '3 A'),
  maxVoltage: quantity('voltage', '30 V'),
  currentStep: quantity('current', '10 mA').optional(),
  currentAccuracy: share('1 %').optional(),
});

const pulse = z.strictObject({
  on: quantity('time', '10 ms'),
  off: quantity('time', '10 ms'),
});

const drive = z.union([
  z.strictObject({ current: quantity('current', '0.4 A') }),
  z.strictObject({ currentDensity: quantity('currentDensity', '2 A/dm2') }),
  z.strictObject({ voltage: quantity('voltage', '3 V') }),
]);

const step = z.strictObject({
  name: z.string(),
  drive: drive.optional().describe('default: the highest current that burns nothing'),
  time: quantity('time', '30 s').optional().describe('default: until the aim is reached (one step only)'),
  rampTo: drive.optional().describe('changes evenly from `drive` to this over `time`'),
  pulse: pulse.optional(),
});

const aim = z.strictObject({
  thickness: quantity('length', '10 um'),
  share: share('95 %')
    .default(0.95)
    .describe('share of the significant surface that must have at least this thickness'),
});

export const jobSchema = z.strictObject({
  platewright: z.literal(1).describe('version of this file format'),
  name: z.string().min(1),
  part,
  hook: hook
    .optional()
    .describe('the wire that holds and feeds the part; left out: contact above the liquid'),
  vessel,
  bath,
  anodes: z.array(anode).min(1, 'a part without an anode gets nothing'),
  shields: z.array(shield).default([]),
  robbers: z.array(robber).default([]),
  supply: supply.optional(),
  aim,
  steps: z
    .array(step)
    .min(1)
    .default([{ name: 'plate' }]),
  poses: z
    .array(z.strictObject({ turn: quantity('angle', '180 deg'), share: share('50 %') }))
    .min(1)
    .optional()
    .describe('turns of the part about its hook, with the share of the time each lasts'),
  quality: z.enum(['draft', 'standard', 'fine']).default('standard'),
});

export type Job = z.infer<typeof jobSchema>;
export type JobDocument = z.input<typeof jobSchema>;
