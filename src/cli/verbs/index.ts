import type { Verb } from '../verb.js';
import { deposit } from './deposit.js';
import { equilibrium } from './equilibrium.js';
import { field } from './field.js';
import { finish } from './finish.js';
import { identify } from './identify.js';
import { measure } from './measure.js';
import { prepare } from './prepare.js';
import { strip } from './strip.js';
import { verify } from './verify.js';
import { weigh } from './weigh.js';

/** Every verb of the command line, in the order `--help` shows them. */
export const VERBS: Verb[] = [
  deposit,
  field,
  equilibrium,
  measure,
  identify,
  prepare,
  strip,
  finish,
  weigh,
  verify,
];
