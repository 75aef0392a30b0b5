import { gaugeDiameter, resistancePerLength, wireTemperature } from '../../src/electrode/index.js';
import { chosen } from '../../src/library/index.js';
import type { Study } from '../runner.js';
import { library } from './records.js';

const record = library.conductors.get('copper')!;
const copper = {
  resistivity: chosen(record.resistivity).value,
  perKelvin: chosen(record.perKelvin).value,
  referenceTemperature: 293.15,
};
const milliohms = (gauge: number) => resistancePerLength(copper, gaugeDiameter(gauge), 293.15) * 1000;

/** Smallest current [A] that takes a wire to the melting point of copper, 1358 K. */
function fusing(diameter: number): number {
  let [low, high] = [0, 200];
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (wireTemperature(copper, diameter, middle, 293.15, 0.6, 1358) < 1358) low = middle;
    else high = middle;
  }
  return low;
}

export const study: Study = {
  'gauge-10': () => milliohms(10),
  'gauge-18': () => milliohms(18),
  'gauge-24': () => milliohms(24),
  drop: () => (2 * 5 * milliohms(18)) / 1000,
  fusing: () => fusing(0.5e-3),
};
