import { factorLu, solveLu } from '../numerics/index.js';
import {
  type Balance,
  type BalanceState,
  derivatives,
  derivativesFor,
  molalities,
  solveDissolved,
  TOLERANCE,
  worst,
} from './balance.js';

/**
 * Balances with solids. First a penalty mu exp((a_s x - b_s)/mu) for every solid, which is a species like any other and
 * keeps the problem convex, with mu going down: the solids that hold matter show themselves. Then Newton on the balances
 * together with the products of those, exactly. If the set proves wrong (an amount below zero, a product exceeded) it is
 * mended one solid at a time.
 */
export function solveBalance(b: Balance, start: Float64Array, guess?: Float64Array): BalanceState {
  if (b.bound.length === 0) return solveDissolved(b, start);
  if (guess) {
    const warm = settle(b, start, guess);
    if (warm?.converged) return warm;
  }
  const dissolved = solveDissolved(b, start);
  if (dissolved.converged && exceeded(b, dissolved.x, new Set()) < 0) return dissolved;
  const soft = penalise(b, dissolved.converged ? dissolved.x : start);
  return settle(b, soft.x, soft.amount) ?? soft;
}

/** mu of the first and last penalty [ln units of the product]; 1e-5 leaves products within 1e-4. */
const SOFTEST = 1;
const STIFFEST = 1e-5;

function penalise(b: Balance, start: Float64Array): BalanceState {
  const { n, bound, solids } = b;
  const species = b.offset.length;
  let x = start;
  let state: BalanceState | undefined;
  for (let mu = SOFTEST; mu >= STIFFEST; mu /= 4) {
    const penalised: Balance = {
      ...b,
      nu: Float64Array.of(...b.nu, ...solids.map((a) => a / mu)),
      offset: Float64Array.of(...b.offset, ...bound.map((v) => -v / mu)),
      weight: new Float64Array(species + bound.length).fill(1, 0, species).fill(mu, species),
    };
    state = solveDissolved(penalised, x, 300);
    x = state.x;
  }
  return {
    ...state!,
    x: x.slice(0, n),
    amount: state!.molality.slice(species),
    molality: state!.molality.slice(0, species),
  };
}

const product = (b: Balance, x: Float64Array, s: number): number => {
  let sum = 0;
  for (let i = 0; i < b.n; i++) sum += b.solids[s * b.n + i] * x[i];
  return sum;
};

/** The solid outside `set` whose product is most exceeded, or -1. */
function exceeded(b: Balance, x: Float64Array, set: ReadonlySet<number>): number {
  let found = -1;
  let most = 1e-9;
  for (let s = 0; s < b.bound.length; s++) {
    const over = product(b, x, s) - b.bound[s];
    if (!set.has(s) && over > most) {
      most = over;
      found = s;
    }
  }
  return found;
}

/** Amounts below this [mol/kg] are no solid. */
const LEAST = 1e-12;

function settle(b: Balance, start: Float64Array, guess: Float64Array): BalanceState | undefined {
  const set = new Set<number>();
  guess.forEach((amount, s) => {
    if (amount > 1e-6) set.add(s);
  });
  let best: BalanceState | undefined;
  let x = start;
  for (let round = 0; round < 2 * b.bound.length + 4; round++) {
    const state = set.size === 0 ? solveDissolved(b, x) : solveAtProducts(b, x, [...set], guess);
    if (!state.converged) return best;
    x = state.x;
    best = { ...state, converged: false };
    let least = -1;
    for (const s of set)
      if (state.amount[s] < LEAST && (least < 0 || state.amount[s] < state.amount[least])) least = s;
    if (least >= 0) {
      set.delete(least);
      continue;
    }
    const over = exceeded(b, x, set);
    if (over < 0) return state;
    set.add(over);
  }
  return best;
}

const largest = (n: number, at: (i: number) => number): number => {
  let most = 1e-300;
  for (let i = 0; i < n; i++) most = Math.max(most, Math.abs(at(i)));
  return most;
};

/** Newton on the balances and the products of the solids in `set`, with their amounts as unknowns. */
function solveAtProducts(b: Balance, start: Float64Array, set: number[], guess: Float64Array): BalanceState {
  const { n, solids, bound } = b;
  const size = n + set.length;
  const x = start.slice();
  const m = new Float64Array(b.offset.length);
  const amount = new Float64Array(bound.length);
  for (const s of set) amount[s] = guess[s];
  const d = derivativesFor(n);
  const matrix = new Float64Array(size * size);
  const rhs = new Float64Array(size);
  let residual = Number.POSITIVE_INFINITY;
  let apart = Number.POSITIVE_INFINITY;
  let iterations = 0;
  for (; iterations < 60; iterations++) {
    molalities(b, x, m);
    derivatives(b, m, d);
    const scaling = d.hessian
      .filter((_, i) => i % (n + 1) === 0)
      .map((h) => 1 / Math.sqrt(Math.max(h, 1e-300)));
    const norms = set.map((s) => largest(n, (i) => solids[s * n + i] * scaling[i]));
    matrix.fill(0);
    apart = 0;
    for (let i = 0; i < n; i++)
      for (let k = 0; k < n; k++) matrix[i * size + k] = d.hessian[i * n + k] * scaling[i] * scaling[k];
    set.forEach((s, c) => {
      const lack = bound[s] - product(b, x, s);
      apart = Math.max(apart, Math.abs(lack));
      rhs[n + c] = lack / norms[c];
      for (let i = 0; i < n; i++) {
        const a = solids[s * n + i];
        matrix[i * size + n + c] = (a * scaling[i]) / norms[c];
        matrix[(n + c) * size + i] = (a * scaling[i]) / norms[c];
        d.gradient[i] += a * amount[s];
        d.scale[i] += Math.abs(a * amount[s]);
      }
    });
    for (let i = 0; i < n; i++) rhs[i] = -d.gradient[i] * scaling[i];
    residual = worst(d.gradient, d.scale);
    if (residual < TOLERANCE && apart < 1e-12) break;
    const lu = factorLu(matrix, size);
    if (!lu) break;
    solveLu(lu, rhs);
    if (!rhs.every(Number.isFinite)) break;
    let longest = 0;
    for (let i = 0; i < n; i++) longest = Math.max(longest, Math.abs(rhs[i] * scaling[i]));
    const factor = Math.min(1, 1 / longest);
    for (let i = 0; i < n; i++) x[i] += factor * rhs[i] * scaling[i];
    set.forEach((s, c) => {
      amount[s] += factor * (rhs[n + c] / norms[c]);
    });
    if (longest < 1e-15) break;
  }
  return { x, amount, molality: m, iterations, residual, converged: residual < 1e-9 && apart < 1e-9 };
}
