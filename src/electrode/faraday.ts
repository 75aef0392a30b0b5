import { ATMOSPHERE, FARADAY, GAS } from '../units/index.js';

/**
 * Faraday's law: charge and metal are proportional (Faraday 1834; docs/theory/electrode.md#faraday).
 * Currents are magnitudes here; the caller knows which way they flow.
 */
export interface Deposit {
  /** [kg/mol] */
  molarMass: number;
  /** [kg/m3] */
  density: number;
  /** Electrons an atom. */
  valence: number;
}

/** Metal a coulomb moves when all of it does so [kg/C]: M/(z F). */
export const massPerCharge = (metal: Deposit): number => metal.molarMass / (metal.valence * FARADAY);

/** Deposit thickness a coulomb a square metre builds [m per C/m2]: M/(z F rho). */
export const growthPerCharge = (metal: Deposit): number => massPerCharge(metal) / metal.density;

/**
 * Thickness [m] built by a current density [A/m2] in a time [s].
 *
 * @param efficiency share of the current that deposits metal, 0 to 1
 */
export const thicknessAfter = (
  metal: Deposit,
  currentDensity: number,
  time: number,
  efficiency: number,
): number => growthPerCharge(metal) * efficiency * currentDensity * time;

/** Time [s] to build a thickness [m] at a current density [A/m2]; inverse of `thicknessAfter`. */
export const timeToBuild = (
  metal: Deposit,
  currentDensity: number,
  thickness: number,
  efficiency: number,
): number => thickness / (growthPerCharge(metal) * efficiency * currentDensity);

/** Electrons and gas molecules: 2 for hydrogen and chlorine, 4 for oxygen. */
export const ELECTRONS_PER_MOLECULE = { hydrogen: 2, oxygen: 4, chlorine: 2 } as const;
export type Gas = keyof typeof ELECTRONS_PER_MOLECULE;

/** Amount of gas [mol] a charge [C] makes. */
export const gasAmount = (gas: Gas, charge: number): number =>
  charge / (ELECTRONS_PER_MOLECULE[gas] * FARADAY);

/** Volume [m3] of dry gas at a temperature [K] and pressure [Pa], as an ideal gas. */
export const gasVolume = (amount: number, temperature: number, pressure = ATMOSPHERE): number =>
  (amount * GAS * temperature) / pressure;
