import { type Dimension, type Parameter, parseQuantity } from '../units/index.js';
import type { ValueRecord } from './record.js';

/** Reads `12 um` or, for pure numbers, `0.58`. Undefined when it is not a quantity of that dimension. */
export function readPrinted(text: string, dimension: Dimension): number | undefined {
  const bare = dimension === 'fraction' && /^[+-]?[\d.]+(?:e[+-]?\d+)?$/i.test(text.trim());
  const read = parseQuantity(bare ? `${text} 1` : text, dimension);
  return read.ok ? read.value : undefined;
}

/** Reads `240 - 300 g/L` as [low, high] in SI. */
export function readPrintedWindow(text: string, dimension: Dimension): [number, number] | undefined {
  const match = /^([\d.,eE+-]+?)\s+-\s+([\d.,eE+-]+)\s*(.*)$/.exec(text.trim());
  if (!match) return undefined;
  const [, from, to, unit] = match;
  const low = readPrinted(`${from} ${unit}`.trim(), dimension);
  const high = readPrinted(`${to} ${unit}`.trim(), dimension);
  return low === undefined || high === undefined ? undefined : [low, high];
}

/** A step `2 C` in temperature is 2 K: differences have no offset. */
function readStep(text: string, dimension: Dimension): number | undefined {
  const step = readPrinted(text, dimension);
  const zero = dimension === 'temperature' ? readPrinted(text.replace(/[\d.]+/, '0'), dimension) : 0;
  return step === undefined || zero === undefined ? undefined : Math.abs(step - zero);
}

/**
 * A record as an uncertain parameter of a model.
 *
 * @param name the name the model knows it by
 * @returns nominal value and the ends of the 90 % interval [SI]. A step that cannot be read is a defect of the record;
 * the library check reports it before anything uses the record.
 */
export function parameterOf(record: ValueRecord, name = record.id): Parameter {
  const { uncertainty, value, quantity, id } = record;
  if ('exact' in uncertainty)
    return { name, record: id, nominal: value, low: value, high: value, distribution: 'exact' };
  if ('factor' in uncertainty) {
    const ends = [value / uncertainty.factor, value * uncertainty.factor];
    return {
      name,
      record: id,
      nominal: value,
      low: Math.min(...ends),
      high: Math.max(...ends),
      distribution: 'lognormal',
    };
  }
  const step = readStep(uncertainty.plusMinus, quantity);
  if (step === undefined) throw new Error(`record ${id} has an unreadable step "${uncertainty.plusMinus}"`);
  return { name, record: id, nominal: value, low: value - step, high: value + step, distribution: 'normal' };
}
