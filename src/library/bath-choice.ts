import {
  done,
  type Outcome,
  type Problem,
  plain,
  printQuantity,
  refused,
  ZERO_CELSIUS,
} from '../units/index.js';
import { type BathChoice, bathState } from './bath.js';
import type { Bath } from './documents.js';
import { formulaMass } from './formula.js';
import type { Library } from './library.js';
import type { WindowRecord } from './record.js';

/** More metal than this no bath of the library can hold [kg/m3]: the most soluble salt, zinc chloride, holds 2000. */
const NO_BATH_HOLDS = 500;

/**
 * What a person says of their bath, against what water can do (problems) and what the record recommends (warnings).
 *
 * @param path of the bath in the file or form
 */
export function checkBathChoice(
  library: Library,
  bath: Bath,
  choice: BathChoice,
  path = 'bath',
): Outcome<true> {
  const problems: Problem[] = [];
  const { temperature, pH, metal, agitation } = choice;
  const refuse = (field: string, message: string, hint: string) =>
    problems.push({ code: 'bath-impossible', path: `${path}.${field}`, message, hint });
  if (temperature !== undefined && !(temperature > ZERO_CELSIUS && temperature < ZERO_CELSIUS + 100))
    refuse(
      'temperature',
      `A bath at ${printQuantity(temperature, 'C', 'temperature')} is frozen or boils.`,
      `${bath.name} runs at ${spanOf(bath.temperature, 'C', 'temperature')}.`,
    );
  if (pH !== undefined && !(pH >= -1.5 && pH <= 15))
    refuse('pH', `A pH of ${pH} does not exist in water.`, 'It lies between about 0 and 14.');
  if (metal !== undefined && !(metal > 0 && metal < NO_BATH_HOLDS))
    refuse(
      'metal',
      `${printQuantity(metal, 'g/L', 'massConcentration')} of ${bath.metal} in solution is not possible.`,
      `The usual make-up of ${bath.name} holds ${plain(usualMetal(library, bath))} g/L.`,
    );
  if (agitation !== undefined && !library.agitation.has(agitation))
    refuse(
      'agitation',
      `"${agitation}" is not a way of moving the liquid that platewright knows.`,
      `One of ${[...library.agitation.keys()].join(', ')}.`,
    );
  if (problems.length > 0) return refused(...problems);

  const state = bathState(library, bath, choice);
  const warnings: Problem[] = [];
  const outside = (
    field: string,
    value: number,
    window: WindowRecord | undefined,
    told: string,
    span: string,
  ) => {
    if (window && (value < window.low || value > window.high))
      warnings.push({
        code: 'outside-window',
        path: `${path}.${field}`,
        message: `${bath.name} at ${told} is outside the ${span} its record recommends.`,
      });
  };
  outside(
    'temperature',
    state.temperature,
    bath.temperature,
    printQuantity(state.temperature, 'C', 'temperature'),
    spanOf(bath.temperature, 'C', 'temperature'),
  );
  outside('pH', state.pH, bath.pH, `pH ${plain(state.pH, 2)}`, spanOf(bath.pH, 'pH', 'pH'));
  return done(true, warnings);
}

const usualMetal = (library: Library, bath: Bath): number =>
  bathState(library, bath).metal * formulaMass(library, bath.metal);

const spanOf = (window: WindowRecord | undefined, unit: string, dimension: 'temperature' | 'pH'): string =>
  window
    ? `${printQuantity(window.low, unit, dimension)} to ${printQuantity(window.high, unit, dimension)}`
    : 'no stated range';
