import { GAS } from '../units/index.js';
import { type MetalKinetics, metalReaction } from './deposition.js';
import { type HydrogenKinetics, hydrogenEvolution, type ProtonTransfer } from './hydrogen.js';
import { restBetween, type SurfaceLaw } from './surface-law.js';

/** What the current at a place on the part consists of. */
export interface CathodeSplit {
  /** Current density that deposits metal [A/m2], positive where metal is laid down, negative where it dissolves. */
  metal: number;
  /** Current density that makes hydrogen [A/m2], positive. */
  hydrogen: number;
  /** Share of the cathodic current that deposits: metal/(metal + hydrogen), 0 where nothing deposits. */
  efficiency: number;
  /** pH of the liquid at the surface; it rises as hydrogen is made faster than acid arrives. */
  surfacePH: number;
  /** Metal current over its limit; at 1 the surface is starved of metal ions. */
  limitFraction: number;
}

export interface Cathode extends SurfaceLaw<CathodeSplit> {
  /** Most metal current the liquid feeds [A/m2]. */
  readonly metalLimit: number;
}

export interface CathodeModel {
  temperature: number;
  metal: MetalKinetics;
  hydrogen: HydrogenKinetics;
  protons: ProtonTransfer;
}

/**
 * The law of a cathode: metal deposition and hydrogen evolution side by side on one surface at one potential.
 * Efficiency is an outcome: it varies over the part with the local potential.
 */
export function cathode(model: CathodeModel): Cathode {
  const { temperature } = model;
  const metal = metalReaction(model.metal, temperature);
  const hydrogen = hydrogenEvolution(model.hydrogen, model.protons, temperature);
  const total = (potential: number): [number, number] => {
    const [m, mSlope] = metal(potential);
    const h = hydrogen(potential);
    return [m - h.current, mSlope - h.slope];
  };
  const restPotential = restBetween(
    (e) => total(e)[0],
    model.metal.equilibrium - 2,
    model.metal.equilibrium + 2,
  );
  return {
    restPotential,
    metalLimit: model.metal.limit,
    at: (overpotential) => total(restPotential + overpotential),
    split(overpotential) {
      const potential = restPotential + overpotential;
      const deposited = -metal(potential)[0];
      const h = hydrogen(potential);
      return {
        metal: deposited,
        hydrogen: h.current,
        efficiency: deposited > 0 ? deposited / (deposited + h.current) : 0,
        surfacePH: 3 - Math.log10(h.surface),
        limitFraction: Math.max(0, deposited / model.metal.limit),
      };
    },
  };
}

/** Rate of a reaction at another temperature by Arrhenius: multiply by exp(-E/R (1/T - 1/T0)) [molar energy in J/mol]. */
export const arrhenius = (activationEnergy: number, from: number, to: number): number =>
  Math.exp((activationEnergy / GAS) * (1 / from - 1 / to));
