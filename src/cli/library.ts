import { readFileSync } from 'node:fs';
import { type Library, type LibraryFile, loadLibrary } from '../library/index.js';

let loaded: Library | undefined;

/** The library of records as the build left it in dist/library.json, read once. */
export function shippedLibrary(): Library {
  if (!loaded) {
    const file = new URL('../../dist/library.json', import.meta.url);
    const read = loadLibrary(JSON.parse(readFileSync(file, 'utf8')) as LibraryFile[]);
    if (!read.ok) throw new Error(`the shipped library is broken: ${read.problems[0]!.message}`);
    loaded = read.value;
  }
  return loaded;
}
