import { readFileSync } from 'node:fs';
import { waterViscosity } from '../../src/aqueous/index.js';
import { bathAnode, bathCathode, type Surroundings } from '../../src/electrode/index.js';
import {
  anodeParameters,
  type BathChoice,
  bathState,
  cathodeParameters,
  chosen,
  formulaMass,
  type LibraryFile,
  loadLibrary,
} from '../../src/library/index.js';

/** The shipped records, for every study of this folder. */
function shipped() {
  const files = JSON.parse(readFileSync(new URL('../../library.json', import.meta.url), 'utf8'));
  const read = loadLibrary(files as LibraryFile[]);
  if (!read.ok) throw new Error(read.problems[0]!.message);
  return read.value;
}
export const library = shipped();

export const metal = (symbol: string, valence: number) => ({
  molarMass: formulaMass(library, symbol),
  density: chosen(library.metals.get(symbol)!.density).value,
  valence,
});

export const around: Surroundings = { height: 0.05, waterViscosity };

/** Nominal laws of a bath of the library. */
export function laws(id: string, choice: BathChoice = {}) {
  const bath = library.baths.get(id)!;
  const state = bathState(library, bath, choice);
  const list = [
    ...cathodeParameters(library, bath, state),
    ...anodeParameters(library, bath, bath.anodes![0]!.metal),
  ];
  const values = new Map(list.map((p) => [p.name, p.nominal]));
  return {
    state,
    bath,
    values,
    cathode: bathCathode(state, values, around),
    anode: bathAnode(state, values, around),
  };
}
