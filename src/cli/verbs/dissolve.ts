import {
  type AqueousRecords,
  type BeakerSetup,
  liquidColour,
  readAqueousRecords,
} from '../../aqueous/index.js';
import { type BeakerAsk, forecastBeaker } from '../../job/index.js';
import { type Dimension, type Outcome, type Problem, parseQuantity, plain } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

type Options = Record<string, string | boolean | undefined>;

const SETTINGS: [name: string, dimension: Dimension, usual: string | undefined, description: string][] = [
  ['volume', 'volume', '250 mL', 'of liquid'],
  ['acid', 'fraction', '5 %', 'mass share of acetic acid (vinegar)'],
  ['salt', 'massConcentration', '5 g/L', 'table salt'],
  ['voltage', 'voltage', undefined, 'of the supply; or a current'],
  ['current', 'current', undefined, 'held by the supply'],
  ['anode-area', 'area', '20 cm2', 'wetted, both sides'],
  ['cathode-area', 'area', '10 cm2', 'wetted, both sides'],
  ['gap', 'length', '3 cm', 'between the electrodes'],
  ['time', 'time', '90 min', ''],
  ['temperature', 'temperature', '20 C', 'of liquid and room at the start'],
  ['open-area', 'area', '40 cm2', 'of the liquid surface'],
  ['path', 'length', '6 cm', 'of light through the liquid, for its colour'],
  ['heat-loss', 'thermalConductance', '0.35 W/K', 'to the room, evaporation apart'],
];

/** Nickel dissolved into vinegar, in time. */
export const dissolve: Verb = {
  name: 'dissolve',
  summary: 'Metal dissolved from an anode into weak acid: how strong, how warm, how acid, in time.',
  arguments: [],
  options: [
    ...SETTINGS.map(([name, , usual, description]) => ({
      flags: `--${name} <quantity>`,
      description: `${description}${usual ? ` (${usual} when left out)` : ''}`.trim(),
    })),
    { flags: '--anode <metal>', description: 'metal of the anode, Ni when left out' },
    { flags: '--bath <name>', description: 'bath whose kinetics hold, acetate-nickel when left out' },
    { flags: '--agitation <word>', description: 'still, gentle or stirred; still when left out' },
    { flags: '--wall', description: 'the cathode stands behind a porous wall' },
  ],
  run: async (_args, options) => compute(options),
};

function compute(options: Options): VerbResult {
  const problems: Problem[] = [];
  const values: Record<string, number> = {};
  for (const [name, dimension, usual] of SETTINGS) {
    const key = name.replace(/-(.)/g, (_, c: string) => c.toUpperCase());
    const text = options[key] ?? usual;
    if (text === undefined) continue;
    const read: Outcome<number> = parseQuantity(text, dimension, `--${name}`);
    if (read.ok) values[key] = read.value;
    else problems.push(...read.problems);
  }
  if (values.voltage === undefined && values.current === undefined)
    problems.push({
      code: 'drive-missing',
      path: '--voltage',
      message: 'Neither a voltage nor a current is given.',
      hint: 'e.g. --voltage "12 V"',
    });
  if (problems.length > 0) return { status: 'refused', problems };
  const read = readAqueousRecords(shippedLibrary().others.map((f) => f.content));
  if (!read.ok) throw new Error(`the shipped records are broken: ${JSON.stringify(read.problems[0])}`);
  const forecast = forecastBeaker(askOf(values, options), shippedLibrary(), read.value);
  if (!forecast.ok) return { status: 'refused', problems: forecast.problems };
  const { run, band, helps } = forecast.value;
  const colours = coloursOf(
    [band.metal.low, run.points.at(-1)?.metal ?? 0, band.metal.high],
    values.path!,
    read.value,
  );
  const lines = run.points
    .filter((_, i) => i % Math.max(1, Math.ceil(run.points.length / 12)) === 0 || i === run.points.length - 1)
    .map(
      (p) =>
        `${(p.time / 60).toFixed(0).padStart(5)} min  ${plain(p.metal)} g/L  pH ${p.pH.toFixed(2)}  ${(p.temperature - 273.15).toFixed(1)} C  ${plain(p.total)} A  ${plain(p.voltage)} V`,
    );
  const text = [
    ...lines,
    `metal at the end ${plain(run.points.at(-1)?.metal ?? 0)} g/L, nine in ten between ${plain(band.metal.low)} and ${plain(band.metal.high)}`,
    `seen through ${plain(values.path! * 100)} cm in daylight: ${colours[1]} (from ${colours[0]} to ${colours[2]})`,
    ...(run.ceiling ? [`the acid can hold ${plain(run.ceiling)} g/L`] : []),
    ...(run.standstill
      ? [
          `stops rising after ${(run.standstill.time / 60).toFixed(0)} min: ${run.standstill.reason.replaceAll('-', ' ')}`,
        ]
      : []),
    ...helps.map((h) => `with ${h.change}: ${plain(h.metal)} g/L`),
    ...run.warnings.map((w) => `note: ${w.message}${w.hint ? ` ${w.hint}` : ''}`),
  ].join('\n');
  const json = { ...run, band, colours, helps, records: forecast.value.records };
  return { status: run.status === 'failed' ? 'not-completed' : 'done', json, text };
}

/** Vinegar and salt as amounts: mass share of acid in a liquid of about 1.005 kg/L. */
function askOf(values: Record<string, number>, options: Options): BeakerAsk {
  const v = (key: string): number => values[key]!;
  const mass = v('volume') * 1005;
  const acetate = (mass * v('acid')) / 0.060052;
  const chloride = (v('volume') * v('salt')) / 0.058443;
  const setup: Omit<BeakerSetup, 'metal' | 'electrons'> = {
    amounts: { acetate, Na: chloride, Cl: chloride },
    water: mass * (1 - v('acid')),
    temperature: v('temperature'),
    surroundings: {
      temperature: v('temperature'),
      humidity: 0.5,
      heatLoss: v('heatLoss'),
      openArea: v('openArea'),
      vessel: 0.8 * 840 * v('volume') * 1000,
    },
    drive: values.current === undefined ? { voltage: v('voltage') } : { current: v('current') },
    anodeArea: v('anodeArea'),
    cathodeArea: v('cathodeArea'),
    cellConstant: v('gap') / Math.sqrt(v('anodeArea') * v('cathodeArea')),
    leads: 0.1,
    metalAtCathode: options.wall ? 0.1 : 1,
  };
  return {
    bath: String(options.bath ?? 'acetate-nickel'),
    anode: String(options.anode ?? 'Ni'),
    agitation: String(options.agitation ?? 'still'),
    height: 0.05,
    setup,
    duration: v('time'),
  };
}

/** Screen colours of nickel at concentrations [kg/m3], through a path [m]. */
function coloursOf(metal: number[], path: number, records: AqueousRecords): string[] {
  const molarMass = records.components.find((c) => c.id === 'Ni')!.molarMass;
  return metal.map((c) =>
    records.spectra ? liquidColour(records.spectra, { Ni: c / molarMass }, path).hex : '',
  );
}
