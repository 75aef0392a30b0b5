import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { parse } from 'yaml';
import { type Library, type LibraryFile, loadLibrary } from '../src/library/index.js';

const folder = join(import.meta.dirname, '..', 'library');

/** The library files as they stand in the repository, for tests: parsed, unchecked. */
export const libraryFiles = (): LibraryFile[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.ya?ml$/.test(name))
    .map((name) => join(folder, name))
    .map((file) => ({ path: relative(folder, file), content: parse(readFileSync(file, 'utf8')) }));

/** The library, or a failed test that says what is wrong with it. */
export function testLibrary(): Library {
  const loaded = loadLibrary(libraryFiles());
  if (!loaded.ok) throw new Error(loaded.problems.map((p) => `${p.path}: ${p.message}`).join('\n'));
  return loaded.value;
}
