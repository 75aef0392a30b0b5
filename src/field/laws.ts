import { thermalVoltage } from '../units/index.js';
import type { Law, LawCurve, PatchSpec, Role } from './problem.js';

/**
 * Laws as the solver uses them: strictly increasing curves i(eta), current density from metal into solution.
 * `null` stands for the primary distribution, eta = 0 at any current.
 *
 * Source of the forms: Newman and Thomas-Alyea, Electrochemical Systems, 3rd ed. (2004), ch. 8 (Butler-Volmer, Tafel)
 * and ch. 11 (reduction of the rate by the concentration at the surface, i = i_k (1 - i/i_lim), which is the form used
 * for `limitingCurrentDensity`); from memory.
 */
export interface SolverLaw {
  curve: LawCurve | null;
  /** Equilibrium potential [V]. */
  equilibrium: number;
  /** Largest |i| in the direction the role runs [A/m2]; infinite without a limiting current. */
  ceiling: number;
}

/** Beyond this exponent an exponential goes on as a straight line, so that a wild step never overflows. */
const STEEPEST = 300;

/** e^x with its own tangent beyond STEEPEST; returns value and slope. */
function softExp(x: number): readonly [number, number] {
  if (x <= STEEPEST) {
    const e = Math.exp(x);
    return [e, e];
  }
  const e = Math.exp(STEEPEST);
  return [e * (1 + x - STEEPEST), e];
}

export function solverLaw(spec: PatchSpec): SolverLaw {
  const law = spec.law as Law;
  const equilibrium = law.equilibriumPotential ?? 0;
  const curve = kinetics(law, spec.role);
  const limit = law.limitingCurrentDensity;
  if (!curve) return { curve, equilibrium, ceiling: Number.POSITIVE_INFINITY };
  if (limit === undefined) return { curve, equilibrium, ceiling: levelOf(curve, spec.role) };
  return { curve: limited(curve, limit, spec.role), equilibrium, ceiling: limit };
}

/** Where a curve given from outside levels off, if it no longer rises at overpotentials no cell ever sees. */
function levelOf(curve: LawCurve, role: Role): number {
  const sense = role === 'anode' ? 1 : -1;
  const far = sense * curve.at(1e4 * sense)[0];
  return far < 1.001 * sense * curve.at(1e3 * sense)[0] ? far : Number.POSITIVE_INFINITY;
}

function kinetics(law: Law, role: Role): LawCurve | null {
  switch (law.kind) {
    case 'fixed':
      return null;
    case 'linear':
      return { at: (eta) => [eta / law.resistance, 1 / law.resistance] };
    case 'tafel':
      return tafel(law.exchangeCurrentDensity, law.slope / Math.LN10, role);
    case 'butler-volmer': {
      const v = thermalVoltage(law.temperature);
      return exponentials(law.exchangeCurrentDensity, law.anodicTransfer / v, law.cathodicTransfer / v);
    }
    case 'table':
      return monotoneTable(law.overpotential, law.currentDensity);
    case 'curve':
      return law.curve;
  }
}

/** One exponential in the direction the role runs; a floating conductor runs both ways. */
function tafel(i0: number, beta: number, role: Role): LawCurve {
  if (role === 'floating') return exponentials(i0, 1 / beta, 1 / beta);
  const direction = role === 'anode' ? 1 : -1;
  return {
    at: (eta) => {
      const [e, slope] = softExp((direction * eta) / beta);
      return [direction * i0 * e, (i0 * slope) / beta];
    },
  };
}

/** i0 (e^(a eta) - e^(-c eta)), rates a and c in 1/V. */
function exponentials(i0: number, a: number, c: number): LawCurve {
  return {
    at: (eta) => {
      const [up, upSlope] = softExp(a * eta);
      const [down, downSlope] = softExp(-c * eta);
      return [i0 * (up - down), i0 * (a * upSlope + c * downSlope)];
    },
  };
}

/** i = i_k / (1 + |i_k| / i_lim) in the direction the role runs (either way for a floating conductor). */
function limited(curve: LawCurve, limit: number, role: Role): LawCurve {
  return {
    at: (eta) => {
      const [i, slope] = curve.at(eta);
      if ((role === 'cathode' && i > 0) || (role === 'anode' && i < 0)) return [i, slope];
      const shrink = 1 / (1 + Math.abs(i) / limit);
      return [i * shrink, slope * shrink * shrink];
    },
  };
}

/**
 * Cubic interpolation that keeps the table monotone (Fritsch and Carlson, SIAM J. Numer. Anal. 17 (1980) 238, with the
 * harmonic-mean slopes of Fritsch and Butland), straight on beyond its ends.
 */
export function monotoneTable(x: readonly number[], y: readonly number[]): LawCurve {
  const n = x.length;
  const secant = Array.from({ length: n - 1 }, (_, k) => (y[k + 1] - y[k]) / (x[k + 1] - x[k]));
  const slope = Array.from({ length: n }, (_, k) => {
    if (k === 0 || k === n - 1) return secant[k === 0 ? 0 : n - 2];
    const before = x[k] - x[k - 1];
    const after = x[k + 1] - x[k];
    const w = (before + 2 * after) / (3 * (before + after));
    return (secant[k - 1] * secant[k]) / (w * secant[k] + (1 - w) * secant[k - 1]);
  });
  return {
    at: (eta) => {
      if (eta <= x[0]) return [y[0] + slope[0] * (eta - x[0]), slope[0]];
      if (eta >= x[n - 1]) return [y[n - 1] + slope[n - 1] * (eta - x[n - 1]), slope[n - 1]];
      let low = 0;
      let high = n - 1;
      while (high - low > 1) {
        const middle = (low + high) >> 1;
        if (x[middle] <= eta) low = middle;
        else high = middle;
      }
      const h = x[high] - x[low];
      const t = (eta - x[low]) / h;
      const bend0 = secant[low] - slope[low];
      const bend1 = slope[high] - secant[low];
      // Hermite form around the chord: y = chord + h t (1 - t) [(1 - t) (s0 - secant) - t (s1 - secant)].
      const value = y[low] + h * t * secant[low] - h * t * (1 - t) * ((1 - t) * bend0 + t * bend1);
      const d = secant[low] - (1 - t) * (1 - 3 * t) * bend0 - t * (2 - 3 * t) * bend1;
      return [value, d];
    },
  };
}

/**
 * The overpotential at which a curve carries current density `i`, near `guess`: a bracket grown from the guess, then
 * Newton kept inside it. NaN when the curve never gets there (a limiting current below `i`).
 */
export function overpotentialAt(curve: LawCurve, i: number, guess: number): number {
  const tolerance = 1e-13 * Math.max(Math.abs(i), 1e-9);
  let low = guess;
  let high = guess;
  let reach = 0.01;
  const start = curve.at(guess)[0];
  if (start < i)
    while (curve.at(high)[0] < i) {
      low = high;
      high += reach;
      reach *= 2;
      if (reach > 1e7) return Number.NaN;
    }
  else
    while (curve.at(low)[0] > i) {
      high = low;
      low -= reach;
      reach *= 2;
      if (reach > 1e7) return Number.NaN;
    }
  let eta = 0.5 * (low + high);
  for (let step = 0; step < 200 && high - low > 1e-15 * (1 + Math.abs(eta)); step++) {
    const [value, slope] = curve.at(eta);
    if (Math.abs(value - i) <= tolerance) break;
    if (value < i) low = eta;
    else high = eta;
    const next = eta - (value - i) / slope;
    eta = next > low && next < high ? next : 0.5 * (low + high);
  }
  return eta;
}
