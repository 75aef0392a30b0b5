import type { Verb } from '../verb.js';
import { deposit } from './deposit.js';
import { prepare } from './prepare.js';
import { verify } from './verify.js';

/** Every verb of the command line, in the order `--help` shows them. */
export const VERBS: Verb[] = [deposit, prepare, verify];
