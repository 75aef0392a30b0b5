import { AVOGADRO, BOLTZMANN, ELEMENTARY_CHARGE, FARADAY, GAS } from '../units/index.js';
import type { Equilibrium } from './equilibrium.js';
import type { Mixture } from './mixture.js';
import type { AqueousRecords } from './records.js';
import { REFERENCE_TEMPERATURE } from './system.js';
import { waterPermittivity, waterViscosity } from './water.js';

/** Permittivity of vacuum [F/m] (CODATA 2018). */
const VACUUM_PERMITTIVITY = 8.8541878128e-12;

/** Exponent of the free volume where neutral bodies stand in the way (Bruggeman; spheres in a conductor). */
const OBSTRUCTION = 1.5;

export interface Transport {
  /** [S/m] */
  conductivity: number;
  /** Share of the current each species carries, in the order of system.species. */
  transference: Float64Array;
  /** Diffusion coefficients in this liquid [m2/s], in the order of system.species. */
  diffusivity: Float64Array;
  /** Charged species whose mobility is a guess from the default. */
  guessed: string[];
}

/**
 * Diffusion coefficient at infinite dilution [m2/s] from that at 25 C: Stokes-Einstein with Walden's product to a power
 * a little under one, and for ions that jump (H+, OH-) an activation term [K].
 */
export const freeDiffusivity = (at25: number, temperature: number, walden: number, warmth: number): number =>
  ((at25 * temperature) / REFERENCE_TEMPERATURE) *
  (waterViscosity(REFERENCE_TEMPERATURE) / waterViscosity(temperature)) ** walden *
  Math.exp(warmth / temperature - warmth / REFERENCE_TEMPERATURE);

/**
 * Conductivity from the ions that the equilibrium leaves free.
 *
 * Each ion carries lambda = lambda0 exp(-electrophoretic - relaxation) (eta_water/eta)^drag: Onsager's two limiting terms,
 * each damped by the finite size of the ions as in Falkenhagen's theory (Robinson and Stokes, Electrolyte Solutions, ch. 7),
 * written as an exponent so that no ion is driven backwards in a strong solution; and the viscosity of the liquid with a
 * power below one (Walden with a fractional exponent). The counter-ion of an ion is the mean of all of opposite sign,
 * weighed by equivalents. Ions that hop (H+, OH-) hardly feel the viscosity, but neutral molecules stand in their way as
 * spheres in a conductor do. Sizes and exponents are records; the limiting law has no free number.
 */
export function transportOf(e: Equilibrium, mixture: Mixture, records: AqueousRecords): Transport {
  const T = e.temperature;
  const { species } = e.system;
  const n = species.length;
  const water = waterViscosity(T);
  const defaults = records.mobilityDefaults;
  const found = species.map((s) => records.mobilities.find((m) => m.id === s.id));
  const conc = e.molality.map((m) => m * mixture.waterPerVolume);
  const diffusivity = Float64Array.from(found, (m) =>
    freeDiffusivity(
      m?.diffusivity ?? defaults.diffusivity,
      T,
      m?.walden ?? defaults.walden,
      m?.warmth ?? defaults.warmth,
    ),
  );
  // Equivalent conductivities at infinite dilution [S m2/mol of charge].
  const limiting = diffusivity.map((d, j) => (Math.abs(species[j].charge) * d * FARADAY ** 2) / (GAS * T));

  let strength = 0;
  for (let j = 0; j < n; j++) strength += 0.5 * conc[j] * species[j].charge ** 2;
  const permittivity = VACUUM_PERMITTIVITY * waterPermittivity(T);
  const screening = Math.sqrt((2 * FARADAY ** 2 * strength) / (permittivity * GAS * T));
  const bjerrum = ELEMENTARY_CHARGE ** 2 / (4 * Math.PI * permittivity * BOLTZMANN * T);
  const electrophoresis = (FARADAY ** 2 * screening) / (6 * Math.PI * water * AVOGADRO);
  const opposite = counterIons(
    species.map((s) => s.charge),
    conc,
    limiting,
  );
  const thick = water / mixture.viscosity;
  const open = (1 - Math.min(mixture.neutralShare, 0.9)) ** OBSTRUCTION;

  const transference = new Float64Array(n);
  let conductivity = 0;
  const guessed: string[] = [];
  for (let j = 0; j < n; j++) {
    const z = Math.abs(species[j].charge);
    const drag = found[j]?.drag ?? defaults.drag;
    if (z === 0) {
      diffusivity[j] *= thick;
      continue;
    }
    const other = opposite[species[j].charge > 0 ? 1 : 0];
    const size = screening * 1e-9 * (found[j]?.size ?? defaults.size);
    const q =
      ((z * other.charge) / (z + other.charge)) *
      ((limiting[j] + other.limiting) / (z * other.limiting + other.charge * limiting[j]));
    const root = Math.sqrt(Math.min(Math.max(q, 0), 1));
    const relaxation =
      (z * other.charge * bjerrum * screening * q) / (3 * (1 + root) * (1 + size) * (1 + root * size));
    const slowing = (z * electrophoresis) / (limiting[j] * (1 + size));
    const thickness = thick ** drag * (found[j]?.hops ? open : 1);
    const part = conc[j] * z * limiting[j] * Math.exp(-relaxation - slowing) * thickness;
    // A single ion diffusing in the liquid feels the viscosity and the relaxation but not the drift of its neighbours.
    diffusivity[j] *= thickness * Math.exp(-relaxation);
    transference[j] = part;
    conductivity += part;
    if (!found[j] && conc[j] > 1) guessed.push(species[j].id);
  }
  if (conductivity > 0) for (let j = 0; j < n; j++) transference[j] /= conductivity;
  return { conductivity, transference, diffusivity, guessed };
}

/** Mean charge and mobility of the cations [0] and anions [1], weighed by equivalents. */
function counterIons(
  charges: number[],
  conc: Float64Array,
  limiting: Float64Array,
): { charge: number; limiting: number }[] {
  return [1, -1].map((sign) => {
    let equivalents = 0;
    let squares = 0;
    let mobility = 0;
    for (let j = 0; j < charges.length; j++) {
      if (charges[j] * sign <= 0) continue;
      const eq = conc[j] * Math.abs(charges[j]);
      equivalents += eq;
      squares += eq * Math.abs(charges[j]);
      mobility += eq * limiting[j];
    }
    return equivalents > 0
      ? { charge: squares / equivalents, limiting: mobility / equivalents }
      : { charge: 1, limiting: 0.005 };
  });
}
