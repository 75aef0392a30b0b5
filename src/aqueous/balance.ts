import { factorLu, solveLu } from '../numerics/index.js';

/**
 * The mass balances of a mixture at fixed activity coefficients, as the convex problem they are.
 *
 * With x_i = ln m of the components, every species is m_j = exp(c_j + sum_i nu_ji x_i), and the balances
 * sum_j nu_ji m_j + sum_s a_si n_s = T_i are the stationarity of
 *   minimise  sum_j m_j(x) - sum_i T_i x_i   subject to  a_s x <= b_s  for every solid that may form,
 * where the multiplier n_s is the amount of the solid: it is there only where its product is reached.
 * (The dual of the Gibbs energy minimum; e.g. Smith and Missen, Chemical Reaction Equilibrium Analysis, 1982.)
 * Convex, so a damped Newton method reaches the one solution from anywhere. precipitate.ts adds the solids.
 */
export interface Balance {
  /** Number of unknown components. */
  n: number;
  /** Stoichiometry, species by component, row-major; offsets c_j [ln mol/kg]. */
  nu: Float64Array;
  offset: Float64Array;
  /** What one mole of a species counts in the objective: 1, but for the penalties that stand for solids. */
  weight?: Float64Array;
  /** Totals T_i [mol/kg]. */
  total: Float64Array;
  /** Solids by component, row-major, and their bounds b_s. */
  solids: Float64Array;
  bound: Float64Array;
}

export interface BalanceState {
  /** ln m of the components. */
  x: Float64Array;
  /** Amounts of the solids [mol/kg of water]. */
  amount: Float64Array;
  molality: Float64Array;
  iterations: number;
  /** Largest balance error, relative to the sum of the sizes of its terms. */
  residual: number;
  converged: boolean;
}

/** Largest change of ln m in one step. */
const LARGEST_STEP = 4;
export const TOLERANCE = 1e-13;
const HIGHEST_EXPONENT = 300;

export function molalities({ n, nu, offset }: Balance, x: Float64Array, out: Float64Array): void {
  for (let j = 0; j < out.length; j++) {
    let sum = offset[j];
    for (let i = 0, at = j * n; i < n; i++, at++) if (nu[at] !== 0) sum += nu[at] * x[i];
    out[j] = Math.exp(Math.min(sum, HIGHEST_EXPONENT));
  }
}

/** Gradient of the objective (species less totals), the sum of the sizes of its terms, and its Hessian. */
export interface Derivatives {
  gradient: Float64Array;
  scale: Float64Array;
  hessian: Float64Array;
}
export const derivativesFor = (n: number): Derivatives => ({
  gradient: new Float64Array(n),
  scale: new Float64Array(n),
  hessian: new Float64Array(n * n),
});

export function derivatives(b: Balance, m: Float64Array, { gradient, scale, hessian }: Derivatives): void {
  const { n, nu, total, weight } = b;
  hessian.fill(0);
  for (let i = 0; i < n; i++) {
    gradient[i] = -total[i];
    scale[i] = Math.abs(total[i]);
  }
  for (let j = 0; j < m.length; j++) {
    const w = weight ? weight[j] * m[j] : m[j];
    for (let i = 0, at = j * n; i < n; i++) {
      const t = nu[at + i] * w;
      if (t === 0) continue;
      gradient[i] += t;
      scale[i] += Math.abs(t);
      for (let k = 0; k < n; k++) hessian[i * n + k] += t * nu[at + k];
    }
  }
}

export function worst(gradient: Float64Array, scale: Float64Array): number {
  let most = 0;
  for (let i = 0; i < gradient.length; i++)
    most = Math.max(most, Math.abs(gradient[i]) / Math.max(scale[i], 1e-300));
  return most;
}

/** Solves the symmetric positive system in place, scaled to a unit diagonal; false if it cannot. */
function newtonStep(matrix: Float64Array, rhs: Float64Array, n: number): boolean {
  const d = new Float64Array(n);
  for (let i = 0; i < n; i++) d[i] = 1 / Math.sqrt(Math.max(matrix[i * n + i], 1e-300));
  for (let i = 0; i < n; i++) {
    rhs[i] *= d[i];
    for (let k = 0; k < n; k++) matrix[i * n + k] *= d[i] * d[k];
    matrix[i * n + i] += 1e-15;
  }
  const lu = factorLu(matrix, n);
  if (!lu) return false;
  solveLu(lu, rhs);
  for (let i = 0; i < n; i++) rhs[i] *= d[i];
  return rhs.every(Number.isFinite);
}

function objective(b: Balance, x: Float64Array, m: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < m.length; j++) sum += b.weight ? b.weight[j] * m[j] : m[j];
  for (let i = 0; i < b.n; i++) sum -= b.total[i] * x[i];
  return sum;
}

/** Newton with the objective going down at every step; solids are not looked at. */
export function solveDissolved(b: Balance, start: Float64Array, limit = 400): BalanceState {
  const { n } = b;
  const x = start.slice();
  const m = new Float64Array(b.offset.length);
  const trialM = new Float64Array(m.length);
  const trial = new Float64Array(n);
  const d = derivativesFor(n);
  molalities(b, x, m);
  let iterations = 0;
  for (; iterations < limit; iterations++) {
    derivatives(b, m, d);
    if (worst(d.gradient, d.scale) < TOLERANCE) break;
    const step = d.gradient.map((g) => -g);
    if (!newtonStep(d.hessian, step, n)) break;
    let slope = 0;
    let longest = 0;
    for (let i = 0; i < n; i++) {
      slope += step[i] * d.gradient[i];
      longest = Math.max(longest, Math.abs(step[i]));
    }
    let factor = Math.min(1, LARGEST_STEP / longest);
    const here = objective(b, x, m);
    let moved = false;
    for (let cut = 0; cut < 50 && !moved; cut++, factor /= 2) {
      for (let i = 0; i < n; i++) trial[i] = x[i] + factor * step[i];
      molalities(b, trial, trialM);
      const there = objective(b, trial, trialM);
      // Near the minimum the objective is flat to rounding; Newton then needs no guard.
      moved = there <= here + 1e-4 * factor * slope + 1e-13 * Math.abs(here) || longest < 1e-6;
    }
    if (!moved) break;
    x.set(trial);
    m.set(trialM);
    if (longest < 1e-15) break;
  }
  derivatives(b, m, d);
  const residual = worst(d.gradient, d.scale);
  return {
    x,
    amount: new Float64Array(b.bound.length),
    molality: m,
    iterations,
    residual,
    converged: residual < 1e-10,
  };
}
