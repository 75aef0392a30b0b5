import { done, type Outcome, refused } from '../../units/index.js';

/** Density of dry air at 20 C and one atmosphere [kg/m3] (ideal gas, 28.96 g/mol); moisture changes it by 1 %. */
const AIR = 1.204;

/**
 * Density of air-free water at one atmosphere, 0-100 C (G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, the rational fit;
 * coefficients from memory, checked against tabulated values in the test).
 *
 * @param temperature [K]
 * @returns [kg/m3]
 */
export function waterDensity(temperature: number): number {
  const t = temperature - 273.15;
  const above =
    999.83952 +
    t * (16.945176 + t * (-7.9870401e-3 + t * (-46.170461e-6 + t * (105.56302e-9 - t * 280.54253e-12))));
  return above / (1 + 16.87985e-3 * t);
}

export interface Weighing {
  /** Reading in air [kg]. */
  air: number;
  /** Reading hanging in water [kg]. */
  water: number;
  /** One step of the scale [kg]. */
  step: number;
  /** Temperature of the water [K]. */
  temperature: number;
}

export interface Density {
  /** [kg/m3] */
  value: number;
  /** Standard uncertainty [kg/m3]. */
  sigma: number;
  /** Volume of the part [m3], of a hollow one with its sealed hollows. */
  volume: number;
}

/**
 * Density by weighing in air and in water, with the buoyancy of the air. Each reading may be one step off either way, evenly
 * (JCGM 100:2008 4.3.7: a = one step, sigma = a / sqrt 3).
 *
 * @returns a problem where the readings cannot be: not above zero, or a part that floats or swells.
 */
export function densityByWeighing({ air, water, step, temperature }: Weighing): Outcome<Density> {
  const problem = (path: string, message: string, hint: string) =>
    refused<Density>({ code: 'weighing-impossible', path, message, hint });
  if (!(air > 0))
    return problem('air', `The weight in air is ${air * 1000} g.`, 'Zero the scale and weigh again.');
  const lost = air - water;
  if (!(lost > step))
    return problem(
      'water',
      `The part loses ${(lost * 1000).toPrecision(3)} g in water, not more than one step of the scale (${step * 1000} g).`,
      'A finer scale, or several equal parts on one thread; the weight in water is the smaller one.',
    );
  if (water <= 0)
    return problem(
      'water',
      'The part weighs nothing in water: it floats, or the jar stood on the scale.',
      'Hang the part from the scale and let the jar stand beside it; a floating part is hollow or no metal.',
    );
  const liquid = waterDensity(temperature);
  const value = (air / lost) * (liquid - AIR) + AIR;
  const reading = step / Math.sqrt(3);
  // d value / d air = -(water / lost^2) (liquid - AIR), d value / d water = (air / lost^2) (liquid - AIR)
  const sigma = ((liquid - AIR) * reading * Math.hypot(water, air)) / lost ** 2;
  return done({ value, sigma, volume: lost / (liquid - AIR) });
}
