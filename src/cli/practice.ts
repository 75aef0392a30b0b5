import { type Practice, readPractice } from '../process/index.js';
import { shippedLibrary } from './library.js';

let read: Practice | undefined;

/** The practice records of the shipped library, read once. */
export function shippedPractice(): Practice {
  if (!read) {
    const outcome = readPractice(shippedLibrary());
    if (!outcome.ok)
      throw new Error(`the shipped practice records are broken: ${outcome.problems[0]!.message}`);
    read = outcome.value;
  }
  return read;
}
