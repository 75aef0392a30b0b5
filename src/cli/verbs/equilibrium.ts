import { existsSync, readFileSync } from 'node:fs';
import { describeLiquid, type Liquid, readAqueousRecords, readComposition } from '../../aqueous/index.js';
import { type Problem, plain } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

/** What is in the water, from a composition file. */
export const equilibrium: Verb = {
  name: 'equilibrium',
  summary: 'What is in the water: pH, species, solids, conductivity, density and viscosity of a composition.',
  arguments: ['<composition>'],
  options: [],
  run: async ([file]) => run(file!),
};

function run(file: string): VerbResult {
  const read = readJson(file);
  if ('problem' in read) return { status: 'refused', problems: [read.problem] };
  const records = readAqueousRecords(shippedLibrary().others.map((f) => f.content));
  if (!records.ok) throw new Error(`the shipped records are broken: ${JSON.stringify(records.problems[0])}`);
  const recipe = readComposition(read.content, records.value);
  if (!recipe.ok) return { status: 'refused', problems: recipe.problems };
  const liquid = describeLiquid(recipe.value, records.value);
  const json = asJson(liquid, recipe.warnings);
  const text = asText(liquid, [...recipe.warnings, ...liquid.warnings]);
  return { status: liquid.equilibrium.status === 'converged' ? 'done' : 'not-completed', json, text };
}

function readJson(file: string): { content: unknown } | { problem: Problem } {
  if (!existsSync(file))
    return { problem: { code: 'file-missing', path: file, message: `There is no file ${file}.` } };
  try {
    return { content: JSON.parse(readFileSync(file, 'utf8')) };
  } catch (error) {
    return {
      problem: { code: 'not-json', path: file, message: `${file} is not JSON: ${(error as Error).message}` },
    };
  }
}

function asJson(liquid: Liquid, earlier: Problem[]): unknown {
  const { equilibrium: e, mixture, transport, band } = liquid;
  const { system } = e;
  const bySpecies = (values: ArrayLike<number>): Record<string, number> =>
    Object.fromEntries(system.species.map((s, j) => [s.id, values[j]!]));
  return {
    status: e.status,
    pH: e.pH,
    ionicStrength: e.ionicStrength,
    species: bySpecies(e.molality),
    solids: Object.fromEntries(
      system.solids.flatMap((s, k) => (e.solids[k]! > 0 ? [[s.id, e.solids[k]]] : [])),
    ),
    saturation: Object.fromEntries(
      system.solids.flatMap((s, k) => (Number.isFinite(e.saturation[k]) ? [[s.id, e.saturation[k]]] : [])),
    ),
    conductivity: transport.conductivity,
    density: mixture.density,
    viscosity: mixture.viscosity,
    waterActivity: e.waterActivity,
    bufferCapacity: liquid.bufferCapacity,
    acidAdded: e.acidAdded,
    activityCoefficients: bySpecies(e.logGamma.map(Math.exp)),
    diffusivity: bySpecies(transport.diffusivity),
    transference: bySpecies(transport.transference),
    band,
    balance: e.residual,
    warnings: [...earlier, ...liquid.warnings],
    records: liquid.records,
  };
}

function asText(liquid: Liquid, warnings: Problem[]): string {
  const { equilibrium: e, mixture, transport, band } = liquid;
  const lines = [
    `pH ${e.pH.toFixed(2)} (${band.pH.low.toFixed(2)} to ${band.pH.high.toFixed(2)})`,
    `ionic strength ${plain(e.ionicStrength)} mol/kg, buffer capacity ${plain(liquid.bufferCapacity)} mol/kg per pH`,
    `conductivity ${plain(transport.conductivity)} S/m (${plain(band.conductivity.low)} to ${plain(band.conductivity.high)})`,
    `density ${mixture.density.toFixed(1)} kg/m3, viscosity ${plain(mixture.viscosity * 1e3)} mPa s`,
    '',
    'species, mol/kg of water:',
    ...e.system.species
      .map((s, j) => ({ id: s.id, m: e.molality[j]! }))
      .filter((s) => s.m > 1e-9)
      .sort((a, b) => b.m - a.m)
      .map((s) => `  ${s.id.padEnd(20)} ${s.m.toExponential(4)}`),
    ...e.system.solids.flatMap((s, k) =>
      e.solids[k]! > 0 ? [`  solid: ${s.record.name} (${s.id}) ${plain(e.solids[k]!, 4)}`] : [],
    ),
    ...warnings.map((w) => `note: ${w.message}`),
  ];
  return lines.join('\n');
}
