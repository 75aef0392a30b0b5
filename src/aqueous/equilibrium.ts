import type { Problem } from '../units/index.js';
import {
  type Activities,
  type ActivityModel,
  ionicStrength,
  SIT_LIMIT,
  specificInteraction,
} from './activity.js';
import type { Balance, BalanceState } from './balance.js';
import { solveBalance } from './precipitate.js';
import type { ReactionRecord } from './records.js';
import { cite, logKAt, type System } from './system.js';

/** What the solver is asked: totals in mol per kg of water, by component. */
export interface Recipe {
  /** [K] */
  temperature: number;
  /** [mol/kg] of every component but H; H+ follows from the charges unless `pH` is given. */
  totals: Record<string, number>;
  /** -log10 of the activity of H+; then acid or alkali is understood to have been added, see `acidAdded`. */
  pH?: number;
  /** Whether solids that drop out of a beaker within the hour may form. */
  solids: boolean;
}

export interface Equilibrium {
  /** `stalled`: the balances or the activities did not settle; the numbers are the last ones tried. */
  status: 'converged' | 'stalled';
  system: System;
  temperature: number;
  pH: number;
  /** [mol/kg] */
  ionicStrength: number;
  waterActivity: number;
  /** [mol/kg], in the order of system.species. */
  molality: Float64Array;
  /** ln gamma, in the order of system.species. */
  logGamma: Float64Array;
  /** Amounts of the solids formed [mol/kg of water], in the order of system.solids. */
  solids: Float64Array;
  /** log10 of ion product over solubility product, in the order of system.solids; 0 = saturated. */
  saturation: Float64Array;
  /** Strong acid (alkali if negative) beyond the charges of the recipe [mol/kg]; zero unless the pH was given. */
  acidAdded: number;
  /** Largest relative error of a mass balance. */
  residual: number;
  iterations: number;
  warnings: Problem[];
}

const LN10 = Math.LN10;
const SETTLED = 1e-11;
/** Total [mol/kg] a component of the system has at least: logarithms want something. */
const NOTHING = 1e-18;

interface Shape {
  /** Components that are unknown, solids that may form. */
  free: number[];
  allowed: number[];
  nu: Float64Array;
  solids: Float64Array;
}

/** Solver of one system, warm from call to call: a run in time asks it thousands of nearly equal questions. */
export class Equilibrator {
  private x: Float64Array | undefined;
  private amount: Float64Array | undefined;
  private readonly activities: Activities;
  private readonly allowed: number[];
  private readonly shapes = new Map<string, Shape>();

  constructor(
    readonly system: System,
    private readonly model: ActivityModel = specificInteraction,
  ) {
    this.activities = { logGamma: new Float64Array(system.species.length), logWater: 0 };
    this.allowed = system.solids.flatMap((s, i) => (s.record.form === 'fresh' ? [i] : []));
  }

  /** @param moved changes of log10 K by species or solid id, to see what an uncertain constant does. */
  solve(recipe: Recipe, moved: Readonly<Record<string, number>> = {}): Equilibrium {
    const warm = this.x !== undefined;
    const found = this.attempt(recipe, moved);
    if (found.status === 'converged' || !warm) return found;
    // A start from the last answer can be a bad one, when a component has come or gone: once more from scratch.
    this.x = undefined;
    return this.attempt(recipe, moved);
  }

  private attempt(recipe: Recipe, moved: Readonly<Record<string, number>>): Equilibrium {
    const { system, activities } = this;
    const n = system.components.length;
    const totals = Float64Array.from(system.components, (name) =>
      name === 'H' ? 0 : Math.max(recipe.totals[name] ?? 0, NOTHING),
    );
    // Electroneutrality of the whole mixture fixes the total of H+ (less OH-), whatever species form.
    let charge = 0;
    for (let i = 0; i < n; i++) charge += totals[i] * system.charges[i];
    totals[system.hydrogen] = -charge;
    const constant = (r: ReactionRecord): number =>
      (logKAt(r, recipe.temperature) + (moved[r.id] ?? 0)) * LN10;
    const logK = system.species.map((s) => (s.reaction ? constant(s.reaction) : 0));
    const logKs = system.solids.map((s) => constant(s.record));

    if (!this.x || this.x.some((v) => !Number.isFinite(v))) {
      this.x = totals.map((t, i) => Math.log(i === system.hydrogen ? 1e-5 : Math.max(t, 1e-12)));
      this.amount = undefined;
      activities.logGamma.fill(0);
      activities.logWater = 0;
    }
    let state: BalanceState | undefined;
    let change = Number.POSITIVE_INFINITY;
    let last = Number.POSITIVE_INFINITY;
    let damping = 1;
    let rounds = 0;
    const next: Activities = { logGamma: new Float64Array(system.species.length), logWater: 0 };
    for (; rounds < 200; rounds++) {
      state = this.balance(recipe, totals, logK, logKs);
      if (state.x.every(Number.isFinite)) this.x = this.full(state.x, recipe);
      this.model(system, state.molality, recipe.temperature, next);
      change = Math.abs(next.logWater - activities.logWater);
      for (let j = 0; j < system.species.length; j++)
        change = Math.max(change, Math.abs(next.logGamma[j] - activities.logGamma[j]));
      if (change < SETTLED) break;
      if (change > 0.8 * last) damping = Math.max(0.2, damping * 0.7);
      last = change;
      for (let j = 0; j < system.species.length; j++)
        activities.logGamma[j] += damping * (next.logGamma[j] - activities.logGamma[j]);
      activities.logWater += damping * (next.logWater - activities.logWater);
    }
    return this.result(recipe, state!, change, rounds, totals, logKs);
  }

  /** The inner problem at the present activity coefficients. With a fixed pH, H+ is a constant instead of an unknown. */
  private balance(recipe: Recipe, totals: Float64Array, logK: number[], logKs: number[]): BalanceState {
    const { system, activities } = this;
    const { logGamma, logWater } = activities;
    const fixed = recipe.pH !== undefined;
    const { free, nu, solids, allowed } = this.shape(fixed, recipe.solids);
    const n = free.length;
    const count = system.species.length;
    const logH = fixed ? -recipe.pH! * LN10 - logGamma[system.hydrogen] : 0;
    const offset = new Float64Array(count);
    for (let j = 0; j < count; j++) {
      const s = system.species[j];
      let c = logK[j] - logGamma[j] + s.water * logWater;
      for (let i = 0; i < system.components.length; i++) c += s.nu[i] * logGamma[i];
      if (fixed) c += s.nu[system.hydrogen] * logH;
      offset[j] = c;
    }
    const bound = new Float64Array(allowed.length);
    allowed.forEach((which, s) => {
      const solid = system.solids[which];
      let b = logKs[which] - solid.water * logWater;
      for (let i = 0; i < system.components.length; i++) b -= solid.nu[i] * logGamma[i];
      if (fixed) b -= solid.nu[system.hydrogen] * logH;
      bound[s] = b;
    });
    const problem: Balance = {
      n,
      nu,
      offset,
      total: Float64Array.from(free, (i) => totals[i]),
      solids,
      bound,
    };
    const start = Float64Array.from(free, (i) => this.x![i]);
    const state = solveBalance(problem, start, this.amount);
    this.amount = state.converged && state.amount.length > 0 ? state.amount : undefined;
    return state;
  }

  /** What of the inner problem never changes, with H+ unknown or fixed, with solids or without. */
  private shape(fixed: boolean, withSolids: boolean): Shape {
    const key = `${fixed} ${withSolids}`;
    let shape = this.shapes.get(key);
    if (!shape) {
      const { system } = this;
      const free = system.components.flatMap((_, i) => (fixed && i === system.hydrogen ? [] : [i]));
      const allowed = withSolids ? this.allowed : [];
      shape = {
        free,
        allowed,
        nu: Float64Array.from(system.species.flatMap((s) => free.map((i) => s.nu[i]))),
        solids: Float64Array.from(allowed.flatMap((k) => free.map((i) => system.solids[k].nu[i]))),
      };
      this.shapes.set(key, shape);
    }
    return shape;
  }

  /** ln m of every component, the fixed H+ put back. */
  private full(x: Float64Array, recipe: Recipe): Float64Array {
    if (recipe.pH === undefined) return x;
    const { system, activities } = this;
    const out = new Float64Array(system.components.length);
    let f = 0;
    for (let i = 0; i < out.length; i++)
      out[i] = i === system.hydrogen ? -recipe.pH * LN10 - activities.logGamma[i] : x[f++];
    return out;
  }

  private result(
    recipe: Recipe,
    state: BalanceState,
    change: number,
    rounds: number,
    totals: Float64Array,
    logKs: number[],
  ): Equilibrium {
    const { system, activities } = this;
    const { molality } = state;
    const { logGamma, logWater } = activities;
    const solids = new Float64Array(system.solids.length);
    if (recipe.solids)
      this.allowed.forEach((which, s) => {
        solids[which] = state.amount[s];
      });
    const saturation = Float64Array.from(system.solids, (solid, s) => {
      let product = solid.water * logWater - logKs[s];
      for (let i = 0; i < system.components.length; i++)
        if (solid.nu[i] !== 0) product += solid.nu[i] * (Math.log(molality[i]) + logGamma[i]);
      return product / LN10;
    });
    const h = system.hydrogen;
    let acid = -totals[h];
    for (let j = 0; j < molality.length; j++) acid += system.species[j].nu[h] * molality[j];
    system.solids.forEach((solid, s) => {
      acid += solid.nu[h] * solids[s];
    });
    const strength = ionicStrength(system, molality);
    const converged = state.converged && change < 1e-8;
    return {
      status: converged ? 'converged' : 'stalled',
      system,
      temperature: recipe.temperature,
      pH: -(Math.log(molality[h]) + logGamma[h]) / LN10,
      ionicStrength: strength,
      waterActivity: Math.exp(logWater),
      molality: molality.slice(),
      logGamma: logGamma.slice(),
      solids,
      saturation,
      acidAdded: recipe.pH === undefined ? 0 : acid,
      residual: state.residual,
      iterations: rounds,
      warnings: warn(recipe, system, strength, molality),
    };
  }
}

/** The constants a result rests on. */
export const constantsUsed = (e: Equilibrium): string[] => [
  ...e.system.species.flatMap((s, j) =>
    s.reaction && e.molality[j] > 1e-9 ? [cite(s.id, s.reaction.origin)] : [],
  ),
  ...e.system.solids.flatMap((s, k) => (e.solids[k] > 0 ? [cite(s.id, s.record.origin)] : [])),
];

function warn(recipe: Recipe, system: System, strength: number, molality: Float64Array): Problem[] {
  const warnings: Problem[] = [];
  if (strength > SIT_LIMIT)
    warnings.push({
      code: 'activity-range',
      path: 'totals',
      message: `The ionic strength is ${strength.toFixed(2)} mol/kg; the activity model is recommended to ${SIT_LIMIT} mol/kg.`,
      hint: 'Take the pH as good to about 0.2 and solubilities as good to a factor of two.',
    });
  const unknown = system.species.filter(
    (s, j) => s.reaction && !s.reaction.analytic && s.reaction.enthalpy === undefined && molality[j] > 1e-3,
  );
  if (Math.abs(recipe.temperature - 298.15) > 10 && unknown.length > 0)
    warnings.push({
      code: 'temperature-unknown',
      path: 'temperature',
      message: `The constants of ${unknown.map((s) => s.id).join(', ')} are those of 25 C: how they change with temperature is not in the records.`,
    });
  return warnings;
}
