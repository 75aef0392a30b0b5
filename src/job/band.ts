import { NORMAL_90, type Parameter, parameterAt } from '../units/index.js';
import type { Band } from './result.js';

/** The parameters of a forecast with values other than nominal for some of them: name -> SI value. */
export type Values = ReadonlyMap<string, number>;

/** Values of all parameters, one of them moved `z` standard deviations from nominal. */
export function movedValues(parameters: readonly Parameter[], moved?: Parameter, z = 0): Values {
  return new Map(parameters.map((p) => [p.name, parameterAt(p, p === moved ? z : 0)]));
}

/** One uncertain input at the two ends of its 90 % interval, and what the outputs became there. */
export interface Swing<K extends string> {
  parameter: Parameter;
  low: Record<K, number>;
  high: Record<K, number>;
}

/**
 * Bands of 90 % around the nominal outputs from swings of one input at a time.
 *
 * Each input is taken to both ends of its own 90 % interval through the whole computation; the deviations of a positive
 * output are taken in its logarithm and added as squares, up and down apart, so that a bent response gives a lopsided
 * band. Inputs are independent. Exact for outputs whose logarithm is linear in normal inputs; see docs/theory/forecast.md
 * for how far it is off otherwise.
 */
export function bands<K extends string>(
  nominal: Record<K, number>,
  swings: readonly Swing<K>[],
): Record<K, Band> {
  const names = Object.keys(nominal) as K[];
  return Object.fromEntries(names.map((name) => [name, bandOf(name, nominal, swings)])) as Record<K, Band>;
}

function bandOf<K extends string>(name: K, nominal: Record<K, number>, swings: readonly Swing<K>[]): Band {
  const centre = nominal[name];
  const scale = (value: number): number =>
    centre > 0 ? Math.log(Math.max(value, centre * 1e-6) / centre) : value - centre;
  let up = 0;
  let down = 0;
  const weights = swings.map(({ parameter, low, high }) => {
    const a = scale(low[name]);
    const b = scale(high[name]);
    const rise = Math.max(a, b, 0);
    const fall = Math.min(a, b, 0);
    up += rise * rise;
    down += fall * fall;
    return { input: parameter.name, record: parameter.record, weight: rise * rise + fall * fall };
  });
  const total = weights.reduce((sum, w) => sum + w.weight, 0);
  const [fall, rise] = [Math.sqrt(down), Math.sqrt(up)];
  return {
    low: centre > 0 ? centre * Math.exp(-fall) : centre - fall,
    high: centre > 0 ? centre * Math.exp(rise) : centre + rise,
    level: 0.9,
    shares: weights
      .filter((w) => total > 0 && w.weight > 1e-4 * total)
      .sort((x, y) => y.weight - x.weight)
      .map(({ input, record, weight }) => ({ input, record, share: weight / total })),
  };
}

/** Standard deviations at the ends of a 90 % interval. */
export const ENDS: readonly [number, number] = [-NORMAL_90, NORMAL_90];
