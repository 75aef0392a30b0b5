import type { Verb } from '../verb.js';
import { deposit } from './deposit.js';
import { equilibrium } from './equilibrium.js';
import { measure } from './measure.js';
import { prepare } from './prepare.js';
import { verify } from './verify.js';

/** Every verb of the command line, in the order `--help` shows them. */
export const VERBS: Verb[] = [deposit, equilibrium, measure, prepare, verify];
