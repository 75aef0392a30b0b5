import { type Practice, readPractice } from '../src/process/index.js';
import { testLibrary } from './library.js';

/** The practice records, or a failed test that says what is wrong with them. */
export function testPractice(): Practice {
  const read = readPractice(testLibrary());
  if (!read.ok) throw new Error(read.problems.map((p) => `${p.path}: ${p.message}`).join('\n'));
  return read.value;
}
