import type { Verb } from '../verb.js';
import { deposit } from './deposit.js';
import { dissolve } from './dissolve.js';
import { equilibrium } from './equilibrium.js';
import { field } from './field.js';
import { finish } from './finish.js';
import { forecast } from './forecast.js';
import { hazards } from './hazards.js';
import { identify } from './identify.js';
import { makeup } from './makeup.js';
import { measure } from './measure.js';
import { prepare } from './prepare.js';
import { price } from './price.js';
import { records } from './records.js';
import { schema } from './schema.js';
import { strength } from './strength.js';
import { strip } from './strip.js';
import { trouble } from './trouble.js';
import { verify } from './verify.js';
import { waste } from './waste.js';
import { weigh } from './weigh.js';

/** Every verb of the command line, in the order `--help` shows them. */
export const VERBS: Verb[] = [
  forecast,
  deposit,
  dissolve,
  field,
  equilibrium,
  makeup,
  measure,
  identify,
  prepare,
  strength,
  strip,
  finish,
  weigh,
  hazards,
  waste,
  trouble,
  price,
  schema,
  records,
  verify,
];
