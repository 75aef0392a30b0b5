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

/** How far a table may be from its law: of the value, and of the slope. */
const TABLE_VALUE = 1e-6;
const TABLE_SLOPE = 1e-3;

/**
 * The same law read from a table of cubic Hermite pieces: for a field solve that asks a million times.
 *
 * A piece is made when it is first asked for, and checked against the law at its quarter points; where it is off (a buffer
 * runs out and the surface pH leaps within a millivolt) the law itself is asked, as it is outside the table.
 *
 * @param low, high overpotentials [V] the table spans
 */
export function tabulated(
  law: Pick<SurfaceLaw, 'at'>,
  low: number,
  high: number,
  step = 1e-3,
): Pick<SurfaceLaw, 'at'> {
  const pieces = Math.ceil((high - low) / step);
  /** Per piece the four coefficients of its cubic in the place 0 to 1 along it. */
  const cubic = new Float64Array(4 * pieces);
  const state = new Uint8Array(pieces);

  const read = (k: number, s: number): readonly [number, number] => {
    const [v, a, c, d] = [cubic[4 * k]!, cubic[4 * k + 1]!, cubic[4 * k + 2]!, cubic[4 * k + 3]!];
    return [v + s * (a + s * (c + s * d)), (a + s * (2 * c + 3 * s * d)) / step];
  };
  const make = (k: number): void => {
    const [from, a] = law.at(low + k * step);
    const [to, b] = law.at(low + (k + 1) * step);
    const rise = to - from;
    cubic.set([from, a * step, 3 * rise - (2 * a + b) * step, (a + b) * step - 2 * rise], 4 * k);
    const close = [0.25, 0.75].every((s) => {
      const [i, slope] = law.at(low + (k + s) * step);
      const [ti, tSlope] = read(k, s);
      const size = Math.max(Math.abs(i), slope * step);
      return Math.abs(ti - i) <= TABLE_VALUE * size && Math.abs(tSlope - slope) <= TABLE_SLOPE * slope;
    });
    state[k] = close ? MADE : ROUGH;
  };
  return {
    at(eta) {
      const place = (eta - low) / step;
      const k = Math.floor(place);
      if (!(k >= 0 && k < pieces)) return law.at(eta);
      if (state[k] === 0) make(k);
      return state[k] === MADE ? read(k, place - k) : law.at(eta);
    },
  };
}

const MADE = 1;
const ROUGH = 2;
