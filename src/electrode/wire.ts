import { GRAVITY } from '../units/index.js';

/** The wire that holds and feeds the part, and the leads: resistance, drop and heat. */
export interface Conductor {
  /** [ohm m] at the reference temperature. */
  resistivity: number;
  /** Relative rise a kelvin at the reference temperature. */
  perKelvin: number;
  /** [K] */
  referenceTemperature: number;
}

const section = (diameter: number): number => (Math.PI / 4) * diameter ** 2;

/** Resistance per length [ohm/m] of a round wire of a diameter [m] at a temperature [K]. */
export const resistancePerLength = (wire: Conductor, diameter: number, temperature: number): number =>
  (wire.resistivity * (1 + wire.perKelvin * (temperature - wire.referenceTemperature))) / section(diameter);

/** Diameter [m] of an American wire gauge: 0.127 mm x 92^((36 - n)/39) (ASTM B258). */
export const gaugeDiameter = (gauge: number): number => 0.127e-3 * 92 ** ((36 - gauge) / 39);

/** Section [m2] a current needs by a rule of so many amperes a square metre. */
export const sectionFor = (current: number, currentPerSection: number): number => current / currentPerSection;

const STEFAN_BOLTZMANN = 5.670374419e-8;

/**
 * Heat a horizontal wire gives to still air [W/m]: free convection by Churchill and Chu, Int. J. Heat Mass Transfer 18
 * (1975) 1049, and radiation. Air at the mean temperature by power laws through Incropera and DeWitt, table A.4
 * (from memory; within 5 % from 300 to 1000 K).
 */
export function heatLoss(diameter: number, surface: number, ambient: number, emissivity: number): number {
  const film = (surface + ambient) / 2;
  const conductivity = 0.0263 * (film / 300) ** 0.8;
  const viscosity = 15.9e-6 * (film / 300) ** 1.72;
  const prandtl = 0.7;
  const rise = Math.abs(surface - ambient);
  const rayleigh = (GRAVITY * rise * diameter ** 3 * prandtl) / (film * viscosity ** 2);
  const nusselt =
    (0.6 + (0.387 * rayleigh ** (1 / 6)) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2;
  const convection = Math.PI * conductivity * nusselt * (surface - ambient);
  const radiation = Math.PI * diameter * emissivity * STEFAN_BOLTZMANN * (surface ** 4 - ambient ** 4);
  return convection + radiation;
}

/**
 * Temperature [K] a wire in still air settles at under a current [A]. Under the liquid it stays cooler.
 *
 * @returns the temperature, or `limit` when heat outruns loss up to there (the wire would glow or melt)
 */
export function wireTemperature(
  wire: Conductor,
  diameter: number,
  current: number,
  ambient: number,
  emissivity = 0.1,
  limit = 1300,
): number {
  const surplus = (t: number) =>
    current ** 2 * resistancePerLength(wire, diameter, t) - heatLoss(diameter, t, ambient, emissivity);
  let [low, high] = [ambient, limit];
  if (surplus(high) > 0) return limit;
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (surplus(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
