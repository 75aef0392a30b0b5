import type { Deposit } from '../../electrode/index.js';
import { massPerCharge } from '../../electrode/index.js';
import { formulaMass, type Library } from '../../library/index.js';

/** Small sums about keeping a bath: what a salt brings, what runs put in and take out, what a titration says, what heating takes. */

/** Metal in a salt, kg per kg, from the formula masses. */
export const metalShare = (library: Library, metal: string, salt: string): number =>
  formulaMass(library, metal) / formulaMass(library, salt);

/** Metal [kg/m3] a bath holds by its recipe: salts [kg/m3] by formula. */
export const metalByRecipe = (
  library: Library,
  metal: string,
  salts: Readonly<Record<string, number>>,
): number =>
  Object.entries(salts).reduce((sum, [salt, amount]) => sum + amount * metalShare(library, metal, salt), 0);

/**
 * Metal a charge [C] brings into the bath at the anode and takes out at the part [kg].
 * With the anode better than the cathode the metal rises, and with it the pH.
 */
export function metalBalance(
  metal: Deposit,
  charge: number,
  anodeEfficiency: number,
  cathodeEfficiency: number,
): { in: number; out: number; gain: number } {
  const full = massPerCharge(metal) * charge;
  return {
    in: full * anodeEfficiency,
    out: full * cathodeEfficiency,
    gain: full * (anodeEfficiency - cathodeEfficiency),
  };
}

/**
 * Metal [kg/m3] from a titration with EDTA, one to one (nickel: murexide, ammonia, pH 9-10).
 *
 * @param titrant [m3] used, of `molarity` [mol/m3], on `sample` [m3]
 */
export const metalByTitration = (
  titrant: number,
  molarity: number,
  sample: number,
  molarMass: number,
): number => (titrant * molarity * molarMass) / sample;

/** Specific heat of water near 20-60 C [J/(kg K)] (CRC handbook, from memory). */
export const WATER_HEAT = 4184;

/** Power [W] to bring a mass of bath [kg] through a temperature rise [K] in a time [s], losses left out. */
export const heatingPower = (mass: number, rise: number, time: number, heat = WATER_HEAT): number =>
  (mass * heat * rise) / time;
