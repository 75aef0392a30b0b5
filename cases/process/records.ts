import { readFileSync } from 'node:fs';
import { chosen, formulaMass, type LibraryFile, loadLibrary } from '../../src/library/index.js';
import { plateable, readPractice } from '../../src/process/index.js';
import type { Outcome } from '../../src/units/index.js';

/** The value of an outcome; a case whose set-up is refused is a failed case. */
export function sure<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.problems[0]!.message);
  return outcome.value;
}

/** The shipped records, for every study of this folder. */
const files = JSON.parse(
  readFileSync(new URL('../../library.json', import.meta.url), 'utf8'),
) as LibraryFile[];
export const library = sure(loadLibrary(files));
export const practice = sure(readPractice(library));

export const metal = (name: string) => sure(plateable(library, name));
export const molarMass = (symbol: string) => chosen(library.weights.get(symbol)!).value;
export const mass = (formula: string) => formulaMass(library, formula);
