import { type BeakerRun, contentsOf, findSubstance, makeUp } from '../../src/aqueous/index.js';
import { type BeakerAsk, forecastBeaker } from '../../src/job/beaker.js';
import { library } from '../electrode/records.js';
import type { Study } from '../runner.js';
import { records } from './tools.js';

function substance(id: string) {
  const found = findSubstance(id, records, '');
  if (!found.ok) throw new Error(found.problems[0]!.message);
  return found.value;
}
const share = (id: string) => () => 58.6934e-3 / substance(id).molarMass;

/** A quarter of a litre of 5 % vinegar with 7 g/L of salt, two strips 3 cm apart, 12 V. */
const ask: BeakerAsk = {
  bath: 'acetate-nickel',
  anode: 'Ni',
  agitation: 'still',
  height: 0.05,
  duration: 5400,
  setup: {
    amounts: { acetate: 0.208, Na: 0.03, Cl: 0.03 },
    water: 0.238,
    temperature: 293.15,
    surroundings: { temperature: 293.15, humidity: 0.5, heatLoss: 0.35, openArea: 4e-3, vessel: 170 },
    drive: { voltage: 12 },
    anodeArea: 2e-3,
    cathodeArea: 1e-3,
    cellConstant: 21,
    leads: 0.1,
    metalAtCathode: 1,
  },
};
let beaker: BeakerRun | undefined;
function run(): BeakerRun {
  if (!beaker) {
    const read = forecastBeaker(ask, library, records);
    if (!read.ok) throw new Error(read.problems[0]!.message);
    beaker = read.value.run;
  }
  return beaker;
}

export const study: Study = {
  'share-sulfate-6': share('NiSO4.6H2O'),
  'share-sulfate-7': share('NiSO4.7H2O'),
  'share-chloride-6': share('NiCl2.6H2O'),
  'share-carbonate': share('NiCO3'),
  'share-sulfamate': share('Ni(NH2SO3)2.4H2O'),
  'share-acetate': share('Ni(C2H3O2)2.4H2O'),
  'watts-metal': () => {
    const wanted = [
      { substance: 'NiSO4.6H2O', concentration: 300 },
      { substance: 'NiCl2.6H2O', concentration: 60 },
    ];
    const made = makeUp(wanted, 1e-3, 1e-5, 298.15, records);
    if (!made.ok) throw new Error(made.problems[0]!.message);
    return made.value.contents.metal.Ni!;
  },
  molality: () => {
    const made = contentsOf([{ substance: substance('NaCl'), mass: 58.443e-3 }], 1e-3, 298.15, records);
    if (!made.ok) throw new Error(made.problems[0]!.message);
    return made.value.molality.Na!;
  },
  'ceiling-5': () => run().ceiling!,
  'beaker-colour': () => run().points.at(-1)!.metal,
  'beaker-watts': () => {
    const middle = run().points.find((p) => p.time > 2700)!;
    return middle.total * middle.voltage;
  },
  'beaker-charge': () => {
    const last = run().points.at(-1)!;
    const gained = (last.metal * last.volume) / 58.6934e-3 + last.sludge;
    return (last.dissolved - last.plated - gained) / last.dissolved;
  },
};
