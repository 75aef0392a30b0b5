import {
  concentrationAfter,
  densityByWeighing,
  entropy,
  expectedGain,
  freshAir,
  type GasRequest,
  gases,
  levelling,
  normalCdf,
  thicknessPerStep,
  timeToReach,
  waterDensity,
} from '../../src/process/index.js';
import type { Study } from '../runner.js';
import { metal, practice, sure } from './records.js';

const HOUR = 3600;
const water = (celsius: number) => () => waterDensity(celsius + 273.15);
const closedShed = { volume: 30, airChanges: 0 };
const job = (patch: Partial<GasRequest>) =>
  gases(practice, {
    current: 2,
    cathodeEfficiency: 0.95,
    anodeEfficiency: 1,
    chloride: true,
    temperature: 298.15,
    room: closedShed,
    duration: HOUR,
    ...patch,
  });
const inert = job({ current: 1, cathodeEfficiency: 1, anodeEfficiency: 0, temperature: 293.15 })[1]!;
/** Readings of a body of 100 g true mass [kg]: each lighter by the fluid it displaces. */
const reading = (fluid: number) => 0.1 * (1 - fluid / 8400);
const brass = densityByWeighing({
  air: reading(1.204),
  water: reading(waterDensity(293.15)),
  step: 1e-7,
  temperature: 293.15,
});
const smallBrass = densityByWeighing({ air: 5e-3, water: 4.41e-3, step: 1e-5, temperature: 293.15 });
const seen = (grams: number, squareCentimetres: number) => () =>
  thicknessPerStep(metal('nickel'), grams * 1e-3, squareCentimetres * 1e-4) * 1e6;
const even = [0.5, 0.5];
const hour = { volume: 1, airChanges: 1 / HOUR };

export const study: Study = {
  'water-0c': water(0),
  'water-4c': water(4),
  'water-10c': water(10),
  'water-20c': water(20),
  'water-25c': water(25),
  'water-30c': water(30),
  'water-40c': water(40),
  'water-60c': water(60),
  'weigh-brass': () => sure(brass).value,
  'weigh-doubt': () => (100 * 1.6449 * sure(smallBrass).sigma) / sure(smallBrass).value,
  'see-20cm2': seen(0.01, 20),
  'see-5cm2': seen(0.01, 5),
  'see-100cm2': seen(1, 100),
  'h2-air': () => job({})[0]!.limit!.freshAir * HOUR * 1e3,
  'h2-10a': () =>
    freshAir(job({ current: 10, cathodeEfficiency: 0, temperature: 293.15 })[0]!.rate, 0.01) * HOUR,
  'cl2-smell': () => inert.limit!.reachedAfter / HOUR,
  'cl2-danger': () => inert.danger!.reachedAfter / HOUR,
  airing: () => concentrationAfter(hour, 1 / HOUR, HOUR),
  'airing-half': () => timeToReach(hour, 1 / HOUR, 0.5) / HOUR,
  'copper-hours': () => levelling(metal('copper'), 100e-6, 200, 1).time.min / 1.5 / HOUR,
  'gain-perfect': () =>
    expectedGain(entropy(even), even, [
      [1, 0],
      [0, 1],
    ]),
  'gain-noisy': () =>
    expectedGain(entropy(even), even, [
      [0.89, 0.11],
      [0.11, 0.89],
    ]),
  'normal-95': () => normalCdf(1.6448536),
};
