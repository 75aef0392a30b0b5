import { factorLu, solveLu } from '../numerics/index.js';

/**
 * The mass balances of a mixture at fixed activity coefficients, as the convex problem they are.
 *
 * With x_i = ln m of the components, every species is m_j = exp(c_j + sum_i nu_ji x_i), and the balances
 * sum_j nu_ji m_j + sum_s a_si n_s = T_i are the stationarity of
 *   minimise  sum_j m_j(x) - sum_i T_i x_i   subject to  a_s x <= b_s  for every solid that may form,
 * where the multiplier n_s is the amount of the solid: it is there only where its product is reached.
 * (The dual of the Gibbs energy minimum; e.g. Smith and Missen, Chemical Reaction Equilibrium Analysis, 1982.)
 * Convex, so a damped Newton method reaches the one solution from anywhere. Solids go in by a primal-dual interior
 * point method, so several at once need no guessing of which.
 */
export interface Balance {
  /** Number of unknown components. */
  n: number;
  /** Stoichiometry, species by component, row-major; offsets c_j [ln mol/kg]. */
  nu: Float64Array;
  offset: Float64Array;
  /** Totals T_i [mol/kg]. */
  total: Float64Array;
  /** Solids by component, row-major, and their bounds b_s. */
  solids: Float64Array;
  bound: Float64Array;
}

export interface BalanceState {
  /** ln m of the components; start and result. */
  x: Float64Array;
  /** Amounts of the solids [mol/kg of water]. */
  amount: Float64Array;
  molality: Float64Array;
  iterations: number;
  /** Largest balance error, relative to the sum of the sizes of its terms. */
  residual: number;
  converged: boolean;
}

const LARGEST_STEP = 4;
const TOLERANCE = 1e-13;

function molalities({ n, nu, offset }: Balance, x: Float64Array, out: Float64Array): void {
  for (let j = 0; j < out.length; j++) {
    let sum = offset[j];
    for (let i = 0, at = j * n; i < n; i++, at++) sum += nu[at] * x[i];
    out[j] = Math.exp(Math.min(sum, 300));
  }
}

/** Gradient, its scale (sum of sizes of terms) and the Hessian of the sum of species. */
function derivatives(
  b: Balance,
  m: Float64Array,
  amount: Float64Array,
  gradient: Float64Array,
  scale: Float64Array,
  hessian: Float64Array,
): void {
  const { n, nu, total, solids } = b;
  hessian.fill(0);
  for (let i = 0; i < n; i++) {
    gradient[i] = -total[i];
    scale[i] = Math.abs(total[i]);
  }
  for (let j = 0; j < m.length; j++)
    for (let i = 0, at = j * n; i < n; i++) {
      const t = nu[at + i] * m[j];
      if (t === 0) continue;
      gradient[i] += t;
      scale[i] += Math.abs(t);
      for (let k = 0; k < n; k++) hessian[i * n + k] += t * nu[at + k];
    }
  for (let s = 0; s < amount.length; s++)
    for (let i = 0; i < n; i++) {
      const t = solids[s * n + i] * amount[s];
      gradient[i] += t;
      scale[i] += Math.abs(t);
    }
}

/** Solves the symmetric system with unit diagonal scaling; false if it cannot. */
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

const objective = (b: Balance, x: Float64Array, m: Float64Array): number => {
  let sum = 0;
  for (const v of m) sum += v;
  for (let i = 0; i < b.n; i++) sum -= b.total[i] * x[i];
  return sum;
};

const worst = (gradient: Float64Array, scale: Float64Array): number => {
  let most = 0;
  for (let i = 0; i < gradient.length; i++)
    most = Math.max(most, Math.abs(gradient[i]) / Math.max(scale[i], 1e-300));
  return most;
};

/** Without solids: Newton with the objective going down at every step. */
function solveDissolved(b: Balance, x: Float64Array, species: number, limit: number): BalanceState {
  const { n } = b;
  const m = new Float64Array(species);
  const trialM = new Float64Array(species);
  const none = new Float64Array(0);
  const gradient = new Float64Array(n);
  const scale = new Float64Array(n);
  const hessian = new Float64Array(n * n);
  const trial = new Float64Array(n);
  molalities(b, x, m);
  let residual = Number.POSITIVE_INFINITY;
  for (let iteration = 1; iteration <= limit; iteration++) {
    derivatives(b, m, none, gradient, scale, hessian);
    residual = worst(gradient, scale);
    if (residual < TOLERANCE)
      return { x, amount: none, molality: m, iterations: iteration, residual, converged: true };
    const step = gradient.map((g) => -g);
    if (!newtonStep(hessian, step, n)) break;
    let slope = 0;
    let longest = 0;
    for (let i = 0; i < n; i++) {
      slope += step[i] * gradient[i];
      longest = Math.max(longest, Math.abs(step[i]));
    }
    let factor = Math.min(1, LARGEST_STEP / longest);
    const here = objective(b, x, m);
    let moved = false;
    for (let cut = 0; cut < 40; cut++, factor /= 2) {
      for (let i = 0; i < n; i++) trial[i] = x[i] + factor * step[i];
      molalities(b, trial, trialM);
      const there = objective(b, trial, trialM);
      // Near the minimum the objective is flat to rounding; Newton then needs no guard.
      if (there <= here + 1e-4 * factor * slope + 1e-13 * Math.abs(here) || longest < 1e-6) {
        moved = true;
        break;
      }
    }
    if (!moved) break;
    x.set(trial);
    m.set(trialM);
    if (longest < 1e-15) break;
  }
  derivatives(b, m, none, gradient, scale, hessian);
  residual = worst(gradient, scale);
  return { x, amount: none, molality: m, iterations: limit, residual, converged: residual < 1e-10 };
}

/** With solids: primal-dual interior point; `slack` is ln of how far each product is below its bound. */
function solveWithSolids(b: Balance, x: Float64Array, species: number, limit: number): BalanceState {
  const { n, solids, bound } = b;
  const count = bound.length;
  const m = new Float64Array(species);
  const gradient = new Float64Array(n);
  const scale = new Float64Array(n);
  const hessian = new Float64Array(n * n);
  const slack = new Float64Array(count);
  const amount = new Float64Array(count);
  const product = (s: number): number => {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += solids[s * n + i] * x[i];
    return sum;
  };
  let mu = 1e-2;
  for (let s = 0; s < count; s++) {
    slack[s] = Math.max(bound[s] - product(s), 1);
    amount[s] = mu / slack[s];
  }
  let iterations = 0;
  let residual = Number.POSITIVE_INFINITY;
  let feasibility = Number.POSITIVE_INFINITY;
  for (; iterations < limit; iterations++) {
    molalities(b, x, m);
    derivatives(b, m, amount, gradient, scale, hessian);
    residual = worst(gradient, scale);
    const lack = Float64Array.from(slack, (w, s) => product(s) + w - bound[s]);
    feasibility = lack.reduce((a, v) => Math.max(a, Math.abs(v)), 0);
    let gap = 0;
    for (let s = 0; s < count; s++) gap = Math.max(gap, amount[s] * slack[s]);
    if (residual < TOLERANCE && feasibility < 1e-12 && gap < 1e-17) break;
    if (residual < 1e-3 && feasibility < 1e-2 && gap < 3 * mu) mu = Math.max(mu * 0.1, 1e-19);
    const step = gradient.map((g) => -g);
    for (let s = 0; s < count; s++) {
      const weight = amount[s] / slack[s];
      const push = (mu - amount[s] * slack[s] + amount[s] * lack[s]) / slack[s];
      for (let i = 0; i < n; i++) {
        const a = solids[s * n + i];
        if (a === 0) continue;
        step[i] -= a * push;
        for (let k = 0; k < n; k++) hessian[i * n + k] += a * weight * solids[s * n + k];
      }
    }
    if (!newtonStep(hessian, step, n)) break;
    let factor = 1;
    for (let i = 0; i < n; i++) factor = Math.min(factor, 2 / Math.abs(step[i]));
    const slackStep = new Float64Array(count);
    const amountStep = new Float64Array(count);
    for (let s = 0; s < count; s++) {
      let along = 0;
      for (let i = 0; i < n; i++) along += solids[s * n + i] * step[i];
      slackStep[s] = -lack[s] - along;
      amountStep[s] = (mu - amount[s] * slack[s] - amount[s] * slackStep[s]) / slack[s];
      if (slackStep[s] < 0) factor = Math.min(factor, (-0.995 * slack[s]) / slackStep[s]);
      if (amountStep[s] < 0) factor = Math.min(factor, (-0.995 * amount[s]) / amountStep[s]);
    }
    for (let i = 0; i < n; i++) x[i] += factor * step[i];
    for (let s = 0; s < count; s++) {
      slack[s] += factor * slackStep[s];
      amount[s] += factor * amountStep[s];
    }
  }
  molalities(b, x, m);
  for (let s = 0; s < count; s++) if (slack[s] > amount[s] && amount[s] < 1e-11) amount[s] = 0;
  derivatives(b, m, amount, gradient, scale, hessian);
  residual = worst(gradient, scale);
  return { x, amount, molality: m, iterations, residual, converged: residual < 1e-9 && feasibility < 1e-9 };
}

/** Solves from `start` (ln mol/kg of the components), which is not changed. */
export function solveBalance(b: Balance, start: Float64Array, limit = 400): BalanceState {
  const species = b.offset.length;
  return b.bound.length === 0
    ? solveDissolved(b, start.slice(), species, limit)
    : solveWithSolids(b, start.slice(), species, limit);
}
