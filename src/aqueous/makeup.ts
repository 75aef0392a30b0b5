import { done, type Outcome, type Problem, plain, refused } from '../units/index.js';
import { Equilibrator } from './equilibrium.js';
import { type Mixture, mixtureOf } from './mixture.js';
import type { AqueousRecords, SubstanceRecord } from './records.js';
import { compileSystem } from './system.js';

/** One substance wanted in the bath, and the form of it on the shelf. */
export interface Wanted {
  /** Formula or name the recipe is written in, e.g. `NiSO4.6H2O`. */
  substance: string;
  /** [kg/m3] of that substance, or instead `amount` [mol/m3]. */
  concentration?: number;
  amount?: number;
  /** The form at hand, if it is another hydrate or strength; must give the same components. */
  have?: string;
  /** Mass fraction of the form at hand that is the substance; what is usually sold when left out. */
  purity?: number;
}

export interface Weighing {
  substance: SubstanceRecord;
  /** What to put on the scale [kg], rounded to its step, and what it should have been. */
  weigh: number;
  exact: number;
  /** Share of the amount that the rounding moves it by. */
  rounding: number;
}

export interface MakeUp {
  weighings: Weighing[];
  /** Water to start with and about how much in all [m3]. */
  waterFirst: number;
  waterTotal: number;
  contents: Contents;
  steps: string[];
}

/** What a liquid holds. */
export interface Contents {
  /** [mol/m3] by component. */
  concentration: Record<string, number>;
  /** [mol/kg of water] by component. */
  molality: Record<string, number>;
  /** [kg/m3] of every metal. */
  metal: Record<string, number>;
  density: number;
  /** Solids that would drop out at this temperature, by name. */
  dropsOut: string[];
}

const METALS = ['Ni', 'Cu', 'Zn', 'Sn(2)', 'Ag'];
/** A rounding beyond this share deserves a finer scale or a stock solution. */
const COARSE = 0.02;

/** The record of a formula or name, or why there is none: unknown (with the nearest) or refused (with the reason). */
export function findSubstance(text: string, records: AqueousRecords, path: string): Outcome<SubstanceRecord> {
  const wanted = text.trim().toLowerCase().replaceAll('·', '.').replaceAll('*', '.');
  const bar = records.refused.find((r) =>
    r.match.some((m) => wanted === m.toLowerCase() || (m.length > 4 && wanted.includes(m.toLowerCase()))),
  );
  if (bar)
    return refused({
      code: 'substance-refused',
      path,
      message: `${text}: no help with this one. ${bar.reason}`,
    });
  const found =
    records.substances.find((s) => s.id.toLowerCase() === wanted || s.name.toLowerCase() === wanted) ??
    records.substances.find((s) => s.name.toLowerCase().includes(wanted) && wanted.length > 3);
  if (found) return done(found);
  const near = records.substances
    .filter((s) => s.id.toLowerCase().startsWith(wanted.slice(0, 2)))
    .slice(0, 4);
  return refused({
    code: 'substance-unknown',
    path,
    message: `"${text}" is not a substance of the library.`,
    hint: `Write a formula with its water, e.g. ${(near.length > 0 ? near : records.substances.slice(0, 3)).map((s) => s.id).join(', ')}.`,
  });
}

/**
 * Weights for a volume of bath [m3], rounded to the step of the scale [kg], water last.
 * @param temperature [K] the volume is made up at
 */
export function makeUp(
  wanted: Wanted[],
  volume: number,
  scale: number,
  temperature: number,
  records: AqueousRecords,
): Outcome<MakeUp> {
  const problems: Problem[] = volumeProblems(volume);
  const warnings: Problem[] = [];
  if (!(scale > 0))
    problems.push({
      code: 'scale-missing',
      path: 'scale',
      message: 'The step of the scale is missing.',
      hint: 'e.g. 0.1 g: the last digit that it shows.',
    });
  const weighings: Weighing[] = [];
  wanted.forEach((w, i) => {
    const read = weighOne(w, volume, scale, `recipe[${i}]`, records);
    if (!read.ok) problems.push(...read.problems);
    else {
      weighings.push(read.value);
      warnings.push(...read.warnings);
    }
  });
  if (problems.length > 0) return refused(...problems);
  const parts = weighings.map((w, i) => ({
    substance: w.substance,
    mass: w.weigh,
    purity: wanted[i]!.purity ?? w.substance.strength,
  }));
  const read = contentsOf(parts, volume, temperature, records);
  if (!read.ok) return read;
  const contents = read.value;
  const solids = parts.reduce((s, p) => s + p.mass, 0);
  const waterTotal = Math.max(0, (contents.density * volume - solids) / 997);
  const waterFirst = 0.7 * waterTotal;
  return done(
    { weighings, waterFirst, waterTotal, contents, steps: stepsOf(weighings, waterFirst, volume) },
    [...warnings, ...read.warnings],
  );
}

function volumeProblems(volume: number): Problem[] {
  if (volume > 0 && volume < 10) return [];
  return [
    {
      code: 'volume',
      path: 'volume',
      message: `The volume is ${plain(volume * 1e3)} L.`,
      hint: volume > 0 ? 'Was it meant in mL?' : 'Give the volume of finished bath, e.g. 500 mL.',
    },
  ];
}

function weighOne(
  w: Wanted,
  volume: number,
  scale: number,
  path: string,
  records: AqueousRecords,
): Outcome<Weighing> {
  const named = findSubstance(w.substance, records, path);
  if (!named.ok) return named;
  const at = w.have === undefined ? named : findSubstance(w.have, records, path);
  if (!at.ok) return at;
  const purity = w.purity ?? at.value.strength;
  if (!(purity > 0 && purity <= 1))
    return refused({
      code: 'purity',
      path,
      message: `A purity of ${purity} cannot be.`,
      hint: 'A share between 0 and 1, or per cent.',
    });
  const amount = w.amount ?? (w.concentration ?? Number.NaN) / named.value.molarMass;
  if (!(amount > 0))
    return refused({
      code: 'amount',
      path,
      message: `${w.substance} has no positive amount.`,
      hint: 'e.g. 300 g/L.',
    });
  const ratio = formulaRatio(named.value, at.value);
  if (ratio === undefined)
    return refused({
      code: 'not-the-same',
      path,
      message: `${at.value.id} does not bring what ${named.value.id} does.`,
      hint: 'Another hydrate or strength of the same salt can stand in, not another salt.',
    });
  const exact = (amount * volume * ratio * at.value.molarMass) / purity;
  const weigh = Math.round(exact / scale) * scale;
  const rounding = Math.abs(weigh / exact - 1);
  const weighing = { substance: at.value, weigh, exact, rounding };
  if (rounding <= COARSE) return done(weighing);
  return done(weighing, [
    {
      code: 'scale-too-coarse',
      path,
      message: `${plain(exact * 1e3)} g of ${at.value.id} on a scale that steps by ${plain(scale * 1e3)} g is out by ${plain(rounding * 100, 2)} %.`,
      hint: 'Weigh ten times as much into a stock solution and measure a tenth of it, or use a finer scale.',
    },
  ]);
}

/** Formula units of `have` for one of `named`, if they bring the same components in the same proportions. */
function formulaRatio(named: SubstanceRecord, have: SubstanceRecord): number | undefined {
  const keys = Object.keys(named.gives);
  if (keys.length !== Object.keys(have.gives).length) return undefined;
  const ratio = named.gives[keys[0]!]! / (have.gives[keys[0]!] ?? Number.NaN);
  return keys.every((k) => Math.abs(named.gives[k]! - ratio * (have.gives[k] ?? Number.NaN)) < 1e-9)
    ? ratio
    : undefined;
}

function stepsOf(weighings: Weighing[], waterFirst: number, volume: number): string[] {
  const litres = (v: number): string => (v < 1e-3 ? `${plain(v * 1e6)} mL` : `${plain(v * 1e3)} L`);
  const acid = weighings.filter((w) => /acid/.test(w.substance.name) && w.substance.strength < 1);
  const alkali = weighings.filter((w) => /hydroxide/.test(w.substance.name));
  const hot = [...acid, ...alkali];
  return [
    `Start with ${litres(waterFirst)} of distilled or deionised water, warm if it helps.`,
    ...weighings
      .filter((w) => !hot.includes(w))
      .map(
        (w) =>
          `Stir in ${plain(w.weigh * 1e3, 4)} g of ${w.substance.name} (${w.substance.id}) until it is gone.`,
      ),
    ...hot.map(
      (w) =>
        `Add ${plain(w.weigh * 1e3, 4)} g of ${w.substance.name} to the liquid slowly, never the other way round: it heats.`,
    ),
    `Let it come to room temperature, then fill up to ${litres(volume)} with water.`,
  ];
}

/** What have I got: weighed substances made up to a volume [m3]. */
export function contentsOf(
  parts: { substance: SubstanceRecord; mass: number; purity?: number }[],
  volume: number,
  temperature: number,
  records: AqueousRecords,
): Outcome<Contents> {
  const problems = volumeProblems(volume);
  const concentration: Record<string, number> = {};
  for (const { substance, mass, purity = substance.strength } of parts) {
    if (!(mass >= 0))
      problems.push({
        code: 'negative-amount',
        path: substance.id,
        message: `${plain(mass * 1e3)} g of ${substance.id} cannot be.`,
        hint: 'Was the tare taken off twice?',
      });
    for (const [id, n] of Object.entries(substance.gives))
      concentration[id] = (concentration[id] ?? 0) + (n * mass * purity) / substance.molarMass / volume;
  }
  const load = parts.reduce((s, p) => s + p.mass, 0) / volume;
  if (load > 1200)
    problems.push({
      code: 'impossible-amount',
      path: 'volume',
      message: `${plain(load / 1e3)} kg in every litre: more than fits.`,
      hint: 'Is the volume in mL, or a weight in mg?',
    });
  if (problems.length > 0) return refused(...problems);
  const { molality, mixture, dropsOut } = dissolve(concentration, temperature, records);
  const mass = new Map(records.components.map((c) => [c.id, c.molarMass]));
  const metal = Object.fromEntries(
    METALS.flatMap((m) => (concentration[m] ? [[m, concentration[m]! * mass.get(m)!]] : [])),
  );
  const warnings: Problem[] =
    dropsOut.length > 0
      ? [
          {
            code: 'will-not-dissolve',
            path: '',
            message: `At ${(temperature - 273.15).toFixed(0)} C part of it stays solid: ${dropsOut.join(', ')}.`,
            hint: 'Warmer, or less of it.',
          },
        ]
      : [];
  return done({ concentration, molality, metal, density: mixture.density, dropsOut }, warnings);
}

/** Molalities [mol/kg of water] of concentrations [mol/m3], by the density of the liquid itself. */
export function dissolve(
  concentration: Record<string, number>,
  temperature: number,
  records: AqueousRecords,
): { molality: Record<string, number>; mixture: Mixture; dropsOut: string[] } {
  const system = compileSystem(records, Object.keys(concentration));
  const solver = new Equilibrator(system);
  let water = 950;
  for (let i = 0; ; i++) {
    const molality = Object.fromEntries(Object.entries(concentration).map(([k, c]) => [k, c / water]));
    const e = solver.solve({ temperature, totals: molality, solids: false });
    const mixture = mixtureOf(e, records);
    if (Math.abs(mixture.waterPerVolume / water - 1) < 1e-10 || i > 100) {
      const dropsOut = system.solids
        .filter((s, k) => s.record.form === 'fresh' && e.saturation[k] > 0.01)
        .map((s) => s.record.name);
      return { molality, mixture, dropsOut };
    }
    water = mixture.waterPerVolume;
  }
}
