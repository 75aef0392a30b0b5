import { done, FARADAY, type Outcome, type Problem, plain, refused } from '../units/index.js';
import { colourDifference, liquidColour, PHOTO_SPREAD } from './colour.js';
import { transportOf } from './conductivity.js';
import { Equilibrator } from './equilibrium.js';
import { dissolve } from './makeup.js';
import type { AqueousRecords } from './records.js';
import { compileSystem } from './system.js';

/** What is known of a bath besides the metal in question. */
export interface BathFrame {
  /** Component of the metal, and the electrons an atom takes. */
  metal: string;
  electrons: number;
  /** [mol/m3] of the other components, e.g. acetate, Na, Cl; the anion that comes with the metal, if it does. */
  others: Record<string, number>;
  comesWith?: Record<string, number>;
  /** Liquid [m3], temperature [K]. */
  volume: number;
  temperature: number;
  /** Metal it started with [kg/m3]. */
  began: number;
}

/** One thing somebody saw, weighed or measured. SI; spreads are one standard deviation. */
export type Observation =
  | { kind: 'charge'; charge: number }
  | { kind: 'weights'; anodeLoss: number; cathodeGain: number; spread: number }
  | { kind: 'pH'; pH: number; spread: number }
  | { kind: 'density'; mass: number; volume: number; massSpread: number; volumeSpread: number }
  | { kind: 'conductivity'; conductivity: number; spread: number }
  | { kind: 'titration'; concentration: number; spread: number }
  | { kind: 'photo'; l: number; a: number; b: number; path: number };

export interface Piece {
  kind: Observation['kind'];
  /** What it says alone [kg/m3], and how many times narrower than knowing nothing (bits). */
  low: number;
  high: number;
  bits: number;
}

export interface Estimate {
  /** [kg/m3]; the middle and the interval that holds nine in ten. Absent when the evidence contradicts itself. */
  metal?: { median: number; low: number; high: number };
  pieces: Piece[];
  contradictions: { between: [Observation['kind'], Observation['kind']]; message: string }[];
}

/** Concentrations looked at [kg/m3]: a trace to more than any bath holds, evenly in the logarithm, all as likely before. */
const GRID = Float64Array.from({ length: 241 }, (_, i) => 0.05 * (250 / 0.05) ** (i / 240));
/** Two pieces whose best common point is this many standard deviations from each contradict. */
const APART = 3;

/** Joins the evidence into one estimate, each piece weighted by what it can tell. */
export function estimateMetal(
  frame: BathFrame,
  seen: Observation[],
  records: AqueousRecords,
): Outcome<Estimate> {
  const problems = [
    ...frameProblems(frame),
    ...seen.flatMap((o, i) => observationProblems(o, `evidence[${i}]`, frame)),
  ];
  if (seen.length === 0)
    problems.push({
      code: 'no-evidence',
      path: 'evidence',
      message: 'There is nothing to go by.',
      hint: 'Weights, ampere-hours, a strip, a photo: any one is a start.',
    });
  if (problems.length > 0) return refused(...problems);
  const needed = seen.some((o) => o.kind === 'pH' || o.kind === 'density' || o.kind === 'conductivity');
  const model = needed ? modelOf(frame, records) : NO_MODEL;
  const logs = seen.map((o) => likelihood(o, frame, model, records));
  const pieces = seen.map((o, i) => ({ kind: o.kind, ...interval(logs[i]), bits: bitsOf(logs[i]) }));
  const contradictions = contradictionsOf(seen, logs, pieces);
  if (contradictions.length > 0) return done({ pieces, contradictions });
  const joint = GRID.map((_, g) => logs.reduce((s, l) => s + l[g], 0));
  const { low, high, median } = interval(joint);
  return done({ metal: { median, low, high }, pieces, contradictions });
}

interface Model {
  pH: Float64Array;
  density: Float64Array;
  conductivity: Float64Array;
}

const NO_MODEL: Model = { pH: GRID, density: GRID, conductivity: GRID };

/** pH, density and conductivity at every concentration of the grid. */
function modelOf(frame: BathFrame, records: AqueousRecords): Model {
  const molarMass = records.components.find((c) => c.id === frame.metal)!.molarMass;
  const out = { pH: GRID.slice(), density: GRID.slice(), conductivity: GRID.slice() };
  const names = [frame.metal, ...Object.keys(frame.others), ...Object.keys(frame.comesWith ?? {})];
  const solver = new Equilibrator(compileSystem(records, [...new Set(names)]));
  GRID.forEach((c, g) => {
    const amount = c / molarMass;
    const concentration: Record<string, number> = { ...frame.others, [frame.metal]: amount };
    for (const [id, n] of Object.entries(frame.comesWith ?? {}))
      concentration[id] = (concentration[id] ?? 0) + n * amount;
    const { molality, mixture } = dissolve(concentration, frame.temperature, records);
    const e = solver.solve({ temperature: frame.temperature, totals: molality, solids: true });
    out.pH[g] = e.pH;
    out.density[g] = mixture.density;
    out.conductivity[g] = transportOf(e, mixture, records).conductivity;
  });
  return out;
}

/** Spread of the model itself: pH, relative conductivity, relative density (see the theory page). */
const MODEL = { pH: 0.15, conductivity: 0.12, density: 0.002 };

/** Log likelihood over the grid. */
function likelihood(o: Observation, frame: BathFrame, model: Model, records: AqueousRecords): Float64Array {
  const molarMass = records.components.find((c) => c.id === frame.metal)!.molarMass;
  const normal = (off: number, spread: number): number => -0.5 * (off / spread) ** 2;
  switch (o.kind) {
    case 'charge': {
      // Dissolved at most what the charge can, less what may have plated back: anything below is possible.
      const most = frame.began + (o.charge * molarMass) / (frame.electrons * FARADAY * frame.volume);
      return GRID.map((c) => (c <= most ? 0 : normal(Math.log(c / most), 0.05)));
    }
    case 'weights': {
      const metal = frame.began + (o.anodeLoss - o.cathodeGain) / frame.volume;
      return GRID.map((c) =>
        normal(c - metal, Math.max((Math.SQRT2 * o.spread) / frame.volume, 0.02 * metal)),
      );
    }
    case 'pH':
      return GRID.map((_, g) => normal(model.pH[g] - o.pH, Math.hypot(o.spread, MODEL.pH)));
    case 'density': {
      const density = o.mass / o.volume;
      const share = Math.hypot(o.massSpread / o.mass, o.volumeSpread / o.volume, MODEL.density);
      return GRID.map((_, g) => normal(model.density[g] / density - 1, share));
    }
    case 'conductivity':
      return GRID.map((_, g) =>
        normal(
          Math.log(model.conductivity[g] / o.conductivity),
          Math.hypot(o.spread / o.conductivity, MODEL.conductivity),
        ),
      );
    case 'titration':
      return GRID.map((c) => normal(c - o.concentration, Math.max(o.spread, 0.01 * o.concentration)));
    case 'photo': {
      const lab = { mode: 'lab65' as const, l: o.l, a: o.a, b: o.b };
      return GRID.map((c) =>
        normal(
          colourDifference(liquidColour(records.spectra!, { [frame.metal]: c / molarMass }, o.path).lab, lab),
          PHOTO_SPREAD,
        ),
      );
    }
  }
}

/** 5 %, 50 % and 95 % points of a likelihood over the grid. */
function interval(log: Float64Array): { low: number; median: number; high: number } {
  const most = log.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const weights = log.map((l) => Math.exp(l - most));
  const total = weights.reduce((a, b) => a + b, 0);
  const at = (share: number): number => {
    let sum = 0;
    for (let g = 0; g < GRID.length; g++) {
      sum += weights[g];
      if (sum >= share * total) return GRID[g];
    }
    return GRID[GRID.length - 1];
  };
  return { low: at(0.05), median: at(0.5), high: at(0.95) };
}

/** Information against knowing nothing [bits]: the Kullback-Leibler divergence from the even prior. */
function bitsOf(log: Float64Array): number {
  const most = log.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const weights = log.map((l) => Math.exp(l - most));
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.reduce(
    (s, w) => (w > 1e-200 ? s + (w / total) * Math.log2((w / total) * GRID.length) : s),
    0,
  );
}

function contradictionsOf(
  seen: Observation[],
  logs: Float64Array[],
  pieces: Piece[],
): Estimate['contradictions'] {
  const out: Estimate['contradictions'] = [];
  const best = (log: Float64Array): number => log.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const words = (p: Piece): string => `${p.kind} says ${plain(p.low, 2)} to ${plain(p.high, 2)} g/L`;
  for (let i = 0; i < seen.length; i++) {
    if (best(logs[i]) < -0.5 * APART ** 2)
      out.push({
        between: [seen[i].kind, seen[i].kind],
        message: `The ${seen[i].kind} fits no concentration of this bath: is it this bath, this vessel, this light?`,
      });
    for (let j = i + 1; j < seen.length; j++) {
      const common = best(logs[i].map((l, g) => l + logs[j][g]));
      if (common - best(logs[i]) - best(logs[j]) < -0.5 * APART ** 2)
        out.push({
          between: [seen[i].kind, seen[j].kind],
          message: `${words(pieces[i])}, ${words(pieces[j])}: both cannot be true.`,
        });
    }
  }
  return out;
}

function frameProblems(frame: BathFrame): Problem[] {
  if (frame.volume > 0 && frame.volume < 10) return [];
  return [
    {
      code: 'volume',
      path: 'volume',
      message: `The volume is ${plain(frame.volume * 1e3)} L.`,
      hint: 'Give the liquid that is in the vessel now, e.g. 250 mL.',
    },
  ];
}

/** Readings that cannot be, with the likely slip. */
function observationProblems(o: Observation, path: string, frame: BathFrame): Problem[] {
  const bad = (code: string, message: string, hint: string): Problem[] => [{ code, path, message, hint }];
  if (o.kind === 'charge' && !(o.charge > 0))
    return bad(
      'charge',
      `${plain(o.charge / 3600)} Ah have been passed.`,
      'Ampere-hours are positive: current times hours.',
    );
  if (o.kind === 'weights') {
    if (o.anodeLoss < -2 * o.spread)
      return bad(
        'anode-heavier',
        `The anode grew by ${plain(-o.anodeLoss * 1e3)} g.`,
        'An anode gets lighter: are before and after, or anode and cathode, mixed up? Was it dry?',
      );
    if (o.cathodeGain < -2 * o.spread)
      return bad(
        'cathode-lighter',
        `The cathode lost ${plain(-o.cathodeGain * 1e3)} g.`,
        'A cathode gets heavier unless the deposit fell off: is the tare right, was it dry?',
      );
    if (o.anodeLoss / frame.volume > 400)
      return bad(
        'anode-loss',
        `An anode loss of ${plain(o.anodeLoss * 1e3)} g would be ${plain(o.anodeLoss / frame.volume)} g/L.`,
        'A decimal point, or kilograms for grams?',
      );
  }
  if (o.kind === 'pH' && !(o.pH >= 0 && o.pH <= 9))
    return bad(
      'pH-strip',
      `The strip reads pH ${o.pH}.`,
      o.pH > 9
        ? 'Metal would have dropped out as hydroxide long before: was the colour card held upside down, or the strip old?'
        : 'Strips begin at 0.',
    );
  if (o.kind === 'density') {
    const density = o.mass / o.volume;
    if (!(density > 950 && density < 1600))
      return bad(
        'density',
        `${plain(o.mass * 1e3)} g in ${plain(o.volume * 1e6)} mL is ${plain(density / 1e3)} g/mL.`,
        density < 950
          ? 'Lighter than water: was the tare of the cylinder taken off twice?'
          : 'Was the cylinder left on the scale?',
      );
  }
  if (o.kind === 'conductivity' && !(o.conductivity > 0))
    return bad(
      'conductivity',
      'The conductivity is not positive.',
      'Current in the known set-up, at a voltage above the electrodes’ own.',
    );
  return [];
}
