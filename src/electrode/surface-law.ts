/**
 * A law of an electrode surface: strictly rising current density against overpotential, where the overpotential is
 * metal - solution - rest potential. The field engine takes any object with `at`.
 */
export interface SurfaceLaw<Split = unknown> {
  /** Potential of the metal against the solution at zero net current [V, hydrogen scale]. */
  readonly restPotential: number;
  /** Returns [i, di/deta]: current density from metal into solution [A/m2] and its slope [A/(m2 V)]. */
  at(overpotential: number): readonly [number, number];
  /** What the current consists of at an overpotential [V]. */
  split(overpotential: number): Split;
}

/** Widest overpotential searched [V]; beyond it a current is out of any bench supply's reach. */
const REACH = 60;

/**
 * Overpotential [V] at which a law carries a current density [A/m2]: Newton's method kept inside a bracket.
 *
 * @returns the end of the search range when the law cannot carry the current within 60 V.
 */
export function overpotentialAt(law: Pick<SurfaceLaw, 'at'>, currentDensity: number): number {
  let low = -REACH;
  let high = REACH;
  let eta = 0;
  for (let step = 0; step < 200; step++) {
    const [i, slope] = law.at(eta);
    const miss = i - currentDensity;
    if (miss > 0) high = eta;
    else low = eta;
    if (Math.abs(miss) <= 1e-12 * Math.abs(currentDensity) || high - low < 1e-13) return eta;
    const next = eta - miss / slope;
    eta = next > low && next < high ? next : (low + high) / 2;
  }
  return eta;
}

/** Potential of zero net current [V] of a rising current-potential curve, by bisection between two potentials [V]. */
export function restBetween(current: (potential: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  while (b - a > 1e-12) {
    const middle = (a + b) / 2;
    if (current(middle) > 0) b = middle;
    else a = middle;
    if (middle === a && middle === b) break;
  }
  return (a + b) / 2;
}

/**
 * The same law read from a table of cubic Hermite pieces: for a field solve that asks a million times.
 * Between knots `step` apart an exponential of slope 40 per volt is met to (40 step)^4/384 of its value.
 *
 * @param low, high overpotentials [V] the table spans; outside it the law itself is asked
 */
export function tabulated(
  law: Pick<SurfaceLaw, 'at'>,
  low: number,
  high: number,
  step = 1e-3,
): Pick<SurfaceLaw, 'at'> {
  const count = Math.ceil((high - low) / step) + 1;
  const value = new Float64Array(count);
  const slope = new Float64Array(count);
  for (let k = 0; k < count; k++) [value[k], slope[k]] = law.at(low + k * step) as [number, number];
  return {
    at(eta) {
      const place = (eta - low) / step;
      const k = Math.floor(place);
      if (!(k >= 0 && k < count - 1)) return law.at(eta);
      const s = place - k;
      const rise = value[k + 1]! - value[k]!;
      const [a, b] = [slope[k]! * step, slope[k + 1]! * step];
      const c = 3 * rise - 2 * a - b;
      const d = a + b - 2 * rise;
      return [value[k]! + s * (a + s * (c + s * d)), (a + s * (2 * c + 3 * s * d)) / step];
    },
  };
}
