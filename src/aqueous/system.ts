import { GAS } from '../units/index.js';
import type { AqueousRecords, Origin, ReactionRecord, SolidRecord } from './records.js';

/** Temperature the constants are tabulated at [K]. */
export const REFERENCE_TEMPERATURE = 298.15;

/** One species of a chosen set of components; arrays run over `System.components`. */
export interface Species {
  id: string;
  charge: number;
  /** How many of each component make it (H may be negative). */
  nu: Float64Array;
  /** Waters taken up. */
  water: number;
  salting: number;
  reaction?: ReactionRecord;
}
export interface Solid {
  id: string;
  record: SolidRecord;
  nu: Float64Array;
  water: number;
}

/** The part of the records that a set of components can form, laid out for the solver. Species 0..n-1 are the components. */
export interface System {
  components: string[];
  charges: Float64Array;
  /** [kg/mol] */
  molarMass: Float64Array;
  species: Species[];
  solids: Solid[];
  /** Index of H+; always there. */
  hydrogen: number;
  /** Interaction coefficients [kg/mol], species by species, row-major, and their slopes with log10 I. */
  epsilon: Float64Array;
  slope: Float64Array;
  /** Pairs whose coefficient is only guessed from the charges. */
  guessed: [string, string][];
}

const row = (components: Record<string, number>, names: string[]): Float64Array =>
  Float64Array.from(names, (name) => components[name] ?? 0);

const fits = (components: Record<string, number>, names: Set<string>): boolean =>
  Object.keys(components).every((name) => name === 'H2O' || names.has(name));

const weigh = (nu: Float64Array, charges: Float64Array): number => {
  let sum = 0;
  for (let i = 0; i < nu.length; i++) sum += nu[i] * charges[i];
  return Math.round(sum);
};

/** Lays out the species and solids that `present` components (H is added) can form. */
export function compileSystem(records: AqueousRecords, present: string[]): System {
  const known = records.components.filter((c) => c.id === 'H' || present.includes(c.id));
  const names = known.map((c) => c.id);
  const set = new Set(names);
  const charges = Float64Array.from(known, (c) => c.charge);
  const species: Species[] = known.map((c, i) => {
    const nu = new Float64Array(known.length);
    nu[i] = 1;
    return { id: c.species, charge: c.charge, nu, water: 0, salting: 0 };
  });
  for (const record of records.species) {
    if (!fits(record.components, set)) continue;
    const nu = row(record.components, names);
    species.push({
      id: record.id,
      charge: weigh(nu, charges),
      nu,
      water: record.components.H2O ?? 0,
      salting: record.salting,
      reaction: record,
    });
  }
  const solids = records.solids
    .filter((s) => fits(s.components, set))
    .map((record) => ({
      id: record.id,
      record,
      nu: row(record.components, names),
      water: record.components.H2O ?? 0,
    }));
  return {
    components: names,
    charges,
    molarMass: Float64Array.from(known, (c) => c.molarMass),
    species,
    solids,
    hydrogen: names.indexOf('H'),
    ...interactionMatrix(records, species),
  };
}

function interactionMatrix(
  records: AqueousRecords,
  species: Species[],
): Pick<System, 'epsilon' | 'slope' | 'guessed'> {
  const n = species.length;
  const epsilon = new Float64Array(n * n);
  const slope = new Float64Array(n * n);
  const guessed: [string, string][] = [];
  const listed = new Map(records.interactions.map((i) => [[...i.pair].sort().join('|'), i]));
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      if (species[i].charge * species[j].charge >= 0) continue;
      const [cation, anion] = species[i].charge > 0 ? [species[i], species[j]] : [species[j], species[i]];
      const entry = listed.get([cation.id, anion.id].sort().join('|'));
      if (!entry) guessed.push([cation.id, anion.id]);
      const value = entry?.epsilon ?? records.interactionByCharge[`${cation.charge},${anion.charge}`] ?? 0;
      epsilon[i * n + j] = value;
      epsilon[j * n + i] = value;
      slope[i * n + j] = entry?.slope ?? 0;
      slope[j * n + i] = entry?.slope ?? 0;
    }
  return { epsilon, slope, guessed };
}

/** log10 K of a reaction at a temperature [K]: the fitted equation where there is one, else van 't Hoff with a constant enthalpy. */
export function logKAt(reaction: ReactionRecord, temperature: number): number {
  const a = reaction.analytic;
  const T = temperature;
  if (a) return a[0] + a[1] * T + a[2] / T + a[3] * Math.log10(T) + a[4] / T ** 2 + a[5] * T ** 2;
  const enthalpy = reaction.enthalpy ?? 0;
  return reaction.logK - (enthalpy / (GAS * Math.LN10)) * (1 / T - 1 / REFERENCE_TEMPERATURE);
}

/** `id (source, place)` as printed under `records`. */
export const cite = (id: string, origin: Origin): string =>
  `${id}: ${origin.source}${origin.place ? `, ${origin.place}` : ''} (${origin.kind})`;
