import type { System } from './system.js';
import { debyeHueckelSlope, WATER_MOLAR_MASS } from './water.js';

/** Natural logarithms of the activity coefficients of every species and of the activity of water. */
export interface Activities {
  logGamma: Float64Array;
  logWater: number;
}

/**
 * An activity model: molalities [mol/kg], one per species of the system, in; activities out (into `out.logGamma`).
 * Molality scale, so that gamma tends to 1 in pure water.
 */
export type ActivityModel = (
  system: System,
  molality: Float64Array,
  temperature: number,
  out: Activities,
) => void;

/** Ionic strength [mol/kg] = half the sum of m z^2. */
export function ionicStrength(system: System, molality: Float64Array): number {
  let sum = 0;
  for (let j = 0; j < molality.length; j++) sum += molality[j] * system.species[j].charge ** 2;
  return sum / 2;
}

/** The constant of the specific ion interaction theory, kg^1/2 mol^-1/2 (Scatchard 1976; NEA guideline TDB-2). */
const SIT_B = 1.5;

/** Ionic strength [mol/kg] up to which the theory is recommended (NEA guideline TDB-2). */
export const SIT_LIMIT = 3.5;

/**
 * Specific ion interaction theory (Broensted, Guggenheim, Scatchard; NEA guideline TDB-2):
 * log10 gamma_i = -z_i^2 A sqrt(I)/(1 + 1.5 sqrt(I)) + sum_k epsilon(i,k) m_k, neutral species log10 gamma = salting I.
 * The osmotic coefficient is the one that belongs to it by the Gibbs-Duhem relation (salting left out).
 * Recommended to 3.5 mol/kg; interaction coefficients are those of 25 C at every temperature.
 */
export const specificInteraction: ActivityModel = (system, molality, temperature, out) => {
  const n = system.species.length;
  const strength = Math.max(ionicStrength(system, molality), 1e-14);
  const root = Math.sqrt(strength);
  const A = debyeHueckelSlope(temperature);
  const D = (A * root) / (1 + SIT_B * root);
  const logI = Math.log10(Math.max(strength, 1e-3));
  let solutes = 0;
  let pairs = 0;
  for (let i = 0; i < n; i++) {
    const { charge, salting } = system.species[i];
    solutes += molality[i];
    let sum = -charge * charge * D;
    if (charge === 0) sum += salting * strength;
    else
      for (let k = 0, at = i * n; k < n; k++, at++) {
        const term = (system.epsilon[at] + system.slope[at] * logI) * molality[k];
        sum += term;
        pairs += 0.5 * term * molality[i];
      }
    out.logGamma[i] = Math.LN10 * sum;
  }
  const y = 1 + SIT_B * root;
  const far = root ** 3 / y - (2 / SIT_B ** 3) * ((y * y) / 2 - 2 * y + Math.log(y) + 1.5);
  const excess = Math.LN10 * (-2 * A * far + pairs);
  out.logWater = -WATER_MOLAR_MASS * (solutes + excess);
};

/** No interactions: gamma = 1, Raoult's law for water. For comparison with programs that have none. */
export const ideal: ActivityModel = (_system, molality, _temperature, out) => {
  out.logGamma.fill(0);
  let solutes = 0;
  for (const m of molality) solutes += m;
  out.logWater = -WATER_MOLAR_MASS * solutes;
};
