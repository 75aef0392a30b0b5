import { existsSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { z } from 'zod';
import {
  type BathFrame,
  colourOfPhoto,
  estimateMetal,
  type Observation,
  readAqueousRecords,
} from '../../aqueous/index.js';
import { type Dimension, type Problem, parseQuantity, plain } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

/** How strong a bath is now, from whatever evidence there is. */
export const strength: Verb = {
  name: 'strength',
  summary:
    'How much metal a bath holds now, from ampere-hours, weights, strips, density, a titration, a photo.',
  arguments: ['<evidence>'],
  options: [],
  run: async ([file]) => run(file!),
};

const quantity = z.string();
const shape = z.strictObject({
  bath: z.strictObject({
    metal: z.enum(['Ni', 'Cu', 'Zn', 'Sn(2)', 'Ag']),
    electrons: z.number().int().positive().default(2),
    volume: quantity,
    temperature: quantity.default('20 C'),
    /** Metal it began with. */
    began: quantity.default('0 g/L'),
    /** Everything else in it, by component, as amount concentrations. */
    others: z.record(z.string(), quantity).default({}),
    /** Components that come with every metal ion, e.g. { SO4: 1 }. */
    comesWith: z.record(z.string(), z.number()).optional(),
  }),
  evidence: z.array(
    z.union([
      z.strictObject({ charge: quantity }),
      z.strictObject({
        weights: z.strictObject({ anodeLoss: quantity, cathodeGain: quantity, scale: quantity }),
      }),
      z.strictObject({ pH: z.number(), spread: z.number().positive().default(0.3) }),
      z.strictObject({
        density: z.strictObject({ mass: quantity, volume: quantity, scale: quantity, cylinder: quantity }),
      }),
      z.strictObject({ conductivity: quantity }),
      z.strictObject({ titration: quantity, spread: quantity }),
      z.strictObject({ photo: z.strictObject({ liquid: z.string(), white: z.string(), path: quantity }) }),
    ]),
  ),
});
type Input = z.infer<typeof shape>;

function run(file: string): VerbResult {
  const refuse = (...problems: Problem[]): VerbResult => ({ status: 'refused', problems });
  if (!existsSync(file))
    return refuse({ code: 'file-missing', path: file, message: `There is no file ${file}.` });
  let content: unknown;
  try {
    content = parse(readFileSync(file, 'utf8'));
  } catch (error) {
    return refuse({ code: 'not-yaml', path: file, message: (error as Error).message });
  }
  const read = shape.safeParse(content);
  if (!read.success)
    return refuse(
      ...read.error.issues.map((i) => ({
        code: 'evidence-shape',
        path: i.path.join('.'),
        message: i.message,
      })),
    );
  const problems: Problem[] = [];
  const si = (text: string, dimension: Dimension, path: string): number => {
    const value = parseQuantity(text, dimension, path);
    if (value.ok) return value.value;
    problems.push(...value.problems);
    return Number.NaN;
  };
  const frame = frameOf(read.data, si);
  const seen = read.data.evidence.flatMap((e, i) => observationOf(e, `evidence[${i}]`, si, problems));
  if (problems.length > 0) return refuse(...problems);
  const records = readAqueousRecords(shippedLibrary().others.map((f) => f.content));
  if (!records.ok) throw new Error(`the shipped records are broken: ${JSON.stringify(records.problems[0])}`);
  const result = estimateMetal(frame, seen, records.value);
  if (!result.ok) return refuse(...result.problems);
  const { metal, pieces, contradictions } = result.value;
  const text = [
    metal
      ? `${frame.metal}: ${plain(metal.median)} g/L, nine in ten between ${plain(metal.low)} and ${plain(metal.high)}`
      : 'no estimate: the evidence contradicts itself',
    ...contradictions.map((c) => c.message),
    ...pieces.map(
      (p) =>
        `  ${p.kind.padEnd(12)} alone: ${plain(p.low, 2)} to ${plain(p.high, 2)} g/L, ${plain(p.bits, 2)} bits`,
    ),
  ].join('\n');
  return { status: 'done', json: result.value, text };
}

type Reader = (text: string, dimension: Dimension, path: string) => number;

const frameOf = ({ bath }: Input, si: Reader): BathFrame => ({
  metal: bath.metal,
  electrons: bath.electrons,
  volume: si(bath.volume, 'volume', 'bath.volume'),
  temperature: si(bath.temperature, 'temperature', 'bath.temperature'),
  began: si(bath.began, 'massConcentration', 'bath.began'),
  others: Object.fromEntries(
    Object.entries(bath.others).map(([id, text]) => [
      id,
      si(text, 'amountConcentration', `bath.others.${id}`),
    ]),
  ),
  ...(bath.comesWith && { comesWith: bath.comesWith }),
});

function observationOf(
  e: Input['evidence'][number],
  path: string,
  si: Reader,
  problems: Problem[],
): Observation[] {
  if ('charge' in e) return [{ kind: 'charge', charge: si(e.charge, 'charge', path) }];
  if ('weights' in e) {
    const [anodeLoss, cathodeGain, spread] = (['anodeLoss', 'cathodeGain', 'scale'] as const).map((k) =>
      si(e.weights[k], 'mass', `${path}.${k}`),
    );
    return [{ kind: 'weights', anodeLoss: anodeLoss!, cathodeGain: cathodeGain!, spread: spread! }];
  }
  if ('pH' in e) return [{ kind: 'pH', pH: e.pH, spread: e.spread }];
  if ('density' in e)
    return [
      {
        kind: 'density',
        mass: si(e.density.mass, 'mass', `${path}.mass`),
        volume: si(e.density.volume, 'volume', `${path}.volume`),
        massSpread: si(e.density.scale, 'mass', `${path}.scale`),
        volumeSpread: si(e.density.cylinder, 'volume', `${path}.cylinder`),
      },
    ];
  if ('conductivity' in e) {
    const conductivity = si(e.conductivity, 'conductivity', path);
    return [{ kind: 'conductivity', conductivity, spread: 0.1 * conductivity }];
  }
  if ('titration' in e)
    return [
      {
        kind: 'titration',
        concentration: si(e.titration, 'massConcentration', path),
        spread: si(e.spread, 'massConcentration', path),
      },
    ];
  const lab = colourOfPhoto(e.photo.liquid, e.photo.white);
  if (!lab) {
    problems.push({
      code: 'photo-colour',
      path,
      message: `${e.photo.liquid} on ${e.photo.white} cannot be read as colours.`,
      hint: 'Write both as #rrggbb; the white must be bright.',
    });
    return [];
  }
  return [{ kind: 'photo', ...lab, path: si(e.photo.path, 'length', `${path}.path`) }];
}
