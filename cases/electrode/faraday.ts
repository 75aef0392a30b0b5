import {
  gasAmount,
  gasVolume,
  growthPerCharge,
  massPerCharge,
  thicknessAfter,
  timeToBuild,
} from '../../src/electrode/index.js';
import { formulaMass } from '../../src/library/index.js';
import type { Study } from '../runner.js';
import { library, metal } from './records.js';

const gramsPerAh = (symbol: string, valence: number) => massPerCharge(metal(symbol, valence)) * 3.6e6;
/** Ampere-hours a square foot for a thousandth of an inch. */
const perMil = (symbol: string, valence: number) =>
  (25.4e-6 / growthPerCharge(metal(symbol, valence)) / 3600) * 0.3048 ** 2;
/** Nickel at the efficiency and density of the published table. */
const handbook = { ...metal('Ni', 2), density: 8907 };
const minutes = (micrometres: number, amperesPerDm2: number) =>
  timeToBuild(handbook, amperesPerDm2 * 100, micrometres * 1e-6, 0.955) / 60;

export const study: Study = {
  'grams-ni2': () => gramsPerAh('Ni', 2),
  'mil-ni2': () => perMil('Ni', 2),
  'grams-cu2': () => gramsPerAh('Cu', 2),
  'mil-cu2': () => perMil('Cu', 2),
  'grams-cu1': () => gramsPerAh('Cu', 1),
  'mil-cu1': () => perMil('Cu', 1),
  'grams-ag1': () => gramsPerAh('Ag', 1),
  'mil-ag1': () => perMil('Ag', 1),
  'grams-au1': () => gramsPerAh('Au', 1),
  'mil-au1': () => perMil('Au', 1),
  'grams-sn2': () => gramsPerAh('Sn', 2),
  'mil-sn2': () => perMil('Sn', 2),
  'grams-zn2': () => gramsPerAh('Zn', 2),
  'mil-zn2': () => perMil('Zn', 2),
  'grams-cr3': () => gramsPerAh('Cr', 3),
  'mil-cr3': () => perMil('Cr', 3),
  'grams-fe2': () => gramsPerAh('Fe', 2),
  'mil-fe2': () => perMil('Fe', 2),
  'nickel-2um-at-1': () => minutes(2, 1),
  'nickel-2um-at-4': () => minutes(2, 4),
  'nickel-4um-at-2': () => minutes(4, 2),
  'nickel-6um-at-3': () => minutes(6, 3),
  'nickel-6um-at-5': () => minutes(6, 5),
  'nickel-6um-at-12': () => minutes(6, 12),
  'nickel-average': () => thicknessAfter(handbook, 100, 3600, 1) * 1e6,
  'hydrogen-0c': () => gasVolume(gasAmount('hydrogen', 3600), 273.15) * 1000,
  'hydrogen-25c': () => gasVolume(gasAmount('hydrogen', 3600), 298.15) * 1000,
  'oxygen-25c': () => gasVolume(gasAmount('oxygen', 3600), 298.15) * 1000,
  'chlorine-mass': () => gasAmount('chlorine', 3600) * formulaMass(library, 'Cl2') * 1000,
  'anode-surplus': () => 0.05 * 1000 * gramsPerAh('Ni', 2),
  'hydrogen-bench': () => gasVolume(gasAmount('hydrogen', 0.05 * 2 * 3600), 298.15) * 1e6,
  'forum-factor': () => 1.074 / (growthPerCharge(metal('Ni', 2)) * 6000 * 1e6),
  'supplier-cu2': () => perMil('Cu', 2),
  'supplier-cu1': () => perMil('Cu', 1),
  'supplier-au1': () => perMil('Au', 1),
  'supplier-au3': () => perMil('Au', 3),
  'supplier-ni2': () => perMil('Ni', 2),
  'supplier-rh3': () => perMil('Rh', 3),
  'supplier-ag1': () => perMil('Ag', 1),
  'supplier-sn2': () => perMil('Sn', 2),
  'supplier-sn4': () => perMil('Sn', 4),
  'ten-micrometres': () => minutes(10, 3),
  'half-hour': () => thicknessAfter(metal('Ni', 2), 200, 1800, 0.95) * 1e6,
};
