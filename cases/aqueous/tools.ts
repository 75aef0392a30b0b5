import {
  type AqueousRecords,
  compileSystem,
  Equilibrator,
  type Equilibrium,
  type Mixture,
  mixtureOf,
  readAqueousRecords,
  transportOf,
} from '../../src/aqueous/index.js';
import { library } from '../electrode/records.js';

const read = readAqueousRecords(library.others.map((f) => f.content));
if (!read.ok) throw new Error(JSON.stringify(read.problems[0]));
export const records: AqueousRecords = read.value;

type Totals = Record<string, number>;

/** Equilibrium of totals [mol/kg] at t [C]. */
export function solve(totals: Totals, t = 25, more: { pH?: number; solids?: boolean } = {}): Equilibrium {
  const { solids = false, ...rest } = more;
  return new Equilibrator(compileSystem(records, Object.keys(totals))).solve({
    temperature: t + 273.15,
    totals,
    solids,
    ...rest,
  });
}
export const molality = (e: Equilibrium, id: string): number =>
  e.molality[e.system.species.findIndex((s) => s.id === id)];
export const activity = (e: Equilibrium, id: string): number => {
  const j = e.system.species.findIndex((s) => s.id === id);
  return e.molality[j] * Math.exp(e.logGamma[j]);
};
export const times = (unit: Totals, factor: number): Totals =>
  Object.fromEntries(Object.entries(unit).map(([k, n]) => [k, n * factor]));

export const mixture = (e: Equilibrium): Mixture => mixtureOf(e, records);
/** Conductivity [mS/cm]. */
export const kappa = (e: Equilibrium): number => 10 * transportOf(e, mixture(e), records).conductivity;

/** Molality of a salt of molar mass [g/mol] at a mass per cent. */
export const massPercent = (percent: number, mass: number): number =>
  (percent / (100 - percent) / mass) * 1000;

/** A liquid of c mol/L of a unit. */
export function molar(unit: Totals, c: number, t: number): Equilibrium {
  let m = c;
  for (let i = 0; i < 60; i++) {
    const e = solve(times(unit, m), t);
    const next = (c * 1000) / mixture(e).waterPerVolume;
    if (Math.abs(next / m - 1) < 1e-10) return e;
    m = next;
  }
  throw new Error('the density does not settle');
}
