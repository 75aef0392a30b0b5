import { FARADAY, thermalVoltage } from '../units/index.js';
import { type MetalKinetics, metalReaction } from './deposition.js';
import { growth, growthSlope } from './exponential.js';
import { restBetween, type SurfaceLaw } from './surface-law.js';

/** What the current at a place on an anode consists of [A/m2], all positive. */
export interface AnodeSplit {
  dissolution: number;
  oxygen: number;
  chlorine: number;
  /** Share of the current that dissolves metal. */
  efficiency: number;
  /**
   * Dissolution current over the passivation limit. Above about 0.9 the place is going passive; once it has, a real
   * anode may dissolve less than this law says, and make gas with the rest.
   */
  passivation: number;
}

export interface Anode extends SurfaceLaw<AnodeSplit> {
  /** Most the metal dissolves [A/m2]; 0 for an inert anode. */
  readonly dissolutionLimit: number;
}

/** A gas reaction, at the temperature and composition of the bath. */
export interface GasKinetics {
  /** Equilibrium potential [V, hydrogen scale]. */
  equilibrium: number;
  /** [A/m2] */
  exchange: number;
  /** Multiplies F/RT. */
  transfer: number;
  /** Most the liquid feeds (chloride for chlorine) [A/m2]; Infinity for none. */
  limit: number;
}

export interface AnodeModel {
  temperature: number;
  /** Left out for an inert anode. */
  metal?: MetalKinetics;
  oxygen?: GasKinetics;
  chlorine?: GasKinetics;
}

/**
 * The law of an anode: dissolution up to its limit, then oxygen and chlorine. The gases run one way only: what little
 * dissolved gas could be reduced is left out. An inert anode therefore has no zero current; its rest potential is
 * the equilibrium potential of the gas that comes first.
 */
export function anode(model: AnodeModel): Anode {
  const { temperature } = model;
  const metal = model.metal && metalReaction(model.metal, temperature);
  const oxygen = gasReaction(model.oxygen, temperature);
  const chlorine = gasReaction(model.chlorine, temperature);
  const total = (potential: number): [number, number] => {
    const parts = [metal?.(potential) ?? NONE, oxygen(potential), chlorine(potential)];
    return [parts.reduce((s, p) => s + p[0], 0), parts.reduce((s, p) => s + p[1], 0)];
  };
  const gases = [model.oxygen, model.chlorine].filter((g) => g !== undefined);
  const restPotential = model.metal
    ? restBetween((e) => total(e)[0], model.metal.equilibrium - 2, model.metal.equilibrium + 2)
    : Math.min(...gases.map((g) => g.equilibrium));
  const dissolutionLimit = model.metal?.passivation ?? 0;
  return {
    restPotential,
    dissolutionLimit,
    at: (overpotential) => total(restPotential + overpotential),
    split(overpotential) {
      const potential = restPotential + overpotential;
      const dissolution = Math.max(0, metal?.(potential)[0] ?? 0);
      const [o] = oxygen(potential);
      const [c] = chlorine(potential);
      const sum = dissolution + o + c;
      return {
        dissolution,
        oxygen: o,
        chlorine: c,
        efficiency: sum > 0 ? dissolution / sum : 0,
        passivation: dissolutionLimit > 0 ? dissolution / dissolutionLimit : 1,
      };
    },
  };
}

const NONE = [0, 0] as const;

function gasReaction(
  gas: GasKinetics | undefined,
  temperature: number,
): (potential: number) => readonly [number, number] {
  if (!gas) return () => NONE;
  const power = gas.transfer / thermalVoltage(temperature);
  return (potential) => {
    const x = power * (potential - gas.equilibrium);
    const forward = gas.exchange * growth(x);
    const scale = 1 + forward / gas.limit;
    return [forward / scale, (power * gas.exchange * growthSlope(x)) / scale ** 2];
  };
}

/** Equilibrium potential of oxygen [V]: 1.229 - 2.303 RT/F pH, at 1 atm of the gas. */
export const oxygenPotential = (standard: number, temperature: number, pH: number): number =>
  standard - Math.LN10 * thermalVoltage(temperature) * pH;

/** Equilibrium potential of chlorine [V] over chloride of an activity on the mol/L scale, at 1 atm of the gas. */
export const chlorinePotential = (standard: number, temperature: number, activity: number): number =>
  standard - thermalVoltage(temperature) * Math.log(activity);

/**
 * Acid the electrodes add to a bath [mol of H+], negative when they use it up.
 *
 * One proton is used per electron of hydrogen and made per electron of oxygen. Chlorine that stays dissolved turns into
 * hypochlorous and hydrochloric acid, half a proton an electron; chlorine that escapes makes none. Metal that dissolves
 * or deposits makes none.
 *
 * @param charges charge [C] through each gas reaction
 * @param chlorineKept share of the chlorine that stays in the liquid
 */
export const acidMade = (
  charges: { hydrogen: number; oxygen: number; chlorine: number },
  chlorineKept: number,
): number => (charges.oxygen + 0.5 * chlorineKept * charges.chlorine - charges.hydrogen) / FARADAY;
