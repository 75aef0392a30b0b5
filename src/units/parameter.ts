/**
 * An uncertain input of a computation: its nominal value and the interval that holds nine chances in ten.
 * This is how a record reaches a model: whoever perturbs inputs needs nothing else about them.
 */
export interface Parameter {
  /** Name the model knows it by, e.g. `deposition.exchangeCurrentDensity`. */
  name: string;
  /** Id of the record it came from. */
  record: string;
  /** Best value, SI. */
  nominal: number;
  /** Ends of the 90 % interval, SI. */
  low: number;
  high: number;
  /** `normal` about the nominal value, or `lognormal` (a factor either way), or `exact`. */
  distribution: 'normal' | 'lognormal' | 'exact';
}

/** Half width of a central 90 % interval of the standard normal distribution: the 0.95 quantile, 1.6449 (closed form). */
export const NORMAL_90 = 1.6448536269514722;

/** Value of a parameter at `z` standard deviations from its nominal value; z = +-1.645 gives the ends of the interval. */
export function parameterAt(parameter: Parameter, z: number): number {
  const { nominal, low, high, distribution } = parameter;
  if (distribution === 'exact' || z === 0) return nominal;
  const share = z / NORMAL_90;
  if (distribution === 'lognormal') return nominal * (share > 0 ? high / nominal : nominal / low) ** share;
  return nominal + share * (share > 0 ? high - nominal : nominal - low);
}
