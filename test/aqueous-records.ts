import { readdirSync, readFileSync } from 'node:fs';
import { parse } from 'yaml';
import { type AqueousRecords, readAqueousRecords } from '../src/aqueous/index.js';

const folder = new URL('../library/species/aqueous/', import.meta.url);

/** The shipped records of the water model, read from the library folder, for tests and cases. */
export function aqueousRecords(): AqueousRecords {
  const documents = readdirSync(folder)
    .filter((name) => name.endsWith('.yaml'))
    .map((name) => parse(readFileSync(new URL(name, folder), 'utf8')) as unknown);
  const read = readAqueousRecords(documents);
  if (!read.ok) throw new Error(JSON.stringify(read.problems, null, 1));
  return read.value;
}
