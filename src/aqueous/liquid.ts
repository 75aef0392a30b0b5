import type { Problem } from '../units/index.js';
import { type Transport, transportOf } from './conductivity.js';
import { constantsUsed, Equilibrator, type Equilibrium, type Recipe } from './equilibrium.js';
import { type Mixture, mixtureOf } from './mixture.js';
import type { AqueousRecords, ReactionRecord } from './records.js';
import { cite, compileSystem } from './system.js';

/** Low and high end of the interval that holds nine outcomes in ten. */
export interface Interval {
  low: number;
  high: number;
}

/** Everything the model says about one liquid. */
export interface Liquid {
  equilibrium: Equilibrium;
  mixture: Mixture;
  transport: Transport;
  /** [mol/kg of strong alkali per pH] */
  bufferCapacity: number;
  band: { pH: Interval; conductivity: Interval; density: Interval; viscosity: Interval };
  warnings: Problem[];
  records: string[];
}

/** Spread of a reaction constant that states none. */
const UNSTATED = 0.2;

/** Equilibrium, bulk properties, transport and their bands for one composition. */
export function describeLiquid(recipe: Recipe, records: AqueousRecords): Liquid {
  const system = compileSystem(records, Object.keys(recipe.totals));
  const solver = new Equilibrator(system);
  const equilibrium = solver.solve(recipe);
  const mixture = mixtureOf(equilibrium, records);
  const transport = transportOf(equilibrium, mixture, records);
  const spread = reactionSpread(equilibrium, recipe, records);
  const { pH, ionicStrength } = equilibrium;
  // Single-ion activity coefficients: what two sound models differ by (Davies and this one, 0.02 in dilute to 0.1 at 3 mol/kg).
  const dpH = Math.hypot(spread.pH, 0.02 + 0.03 * Math.min(ionicStrength, 5));
  // Beside the constants: the model itself, and ions whose mobility is guessed to 30 %, by the current they carry.
  const guessed = equilibrium.system.species.reduce(
    (sum, s, j) => sum + (transport.guessed.includes(s.id) ? transport.transference[j] : 0),
    0,
  );
  const share = Math.hypot(spread.conductivity, 0.01 + 0.03 * Math.min(ionicStrength, 4), 0.3 * guessed);
  const loose = mixture.additive.some((name) => name !== 'H3BO3') || mixture.beyond.length > 0;
  const about = (value: number, step: number): Interval => ({ low: value - step, high: value + step });
  return {
    equilibrium,
    mixture,
    transport,
    bufferCapacity: bufferCapacity(solver, recipe, pH),
    band: {
      pH: recipe.pH === undefined ? about(pH, dpH) : about(pH, 0),
      conductivity: { low: transport.conductivity / (1 + share), high: transport.conductivity * (1 + share) },
      density: about(mixture.density, mixture.density * (loose ? 0.005 : 0.0015)),
      viscosity: about(mixture.viscosity, mixture.viscosity * (loose ? 0.12 : 0.04)),
    },
    warnings: [...equilibrium.warnings, ...liquidWarnings(equilibrium, mixture, transport)],
    records: [...constantsUsed(equilibrium), ...propertyRecords(equilibrium, mixture, records)],
  };
}

/** Strong alkali to raise the pH by one unit [mol/kg per pH], by central difference; solids are held back. */
export function bufferCapacity(solver: Equilibrator, recipe: Recipe, pH: number): number {
  const step = 0.02;
  const at = (p: number): number => solver.solve({ ...recipe, pH: p, solids: false }).acidAdded;
  return (at(pH - step) - at(pH + step)) / (2 * step);
}

/** What the spreads of the constants do to pH and (relatively) to conductivity, each moved alone, added in squares. */
function reactionSpread(
  base: Equilibrium,
  recipe: Recipe,
  records: AqueousRecords,
): { pH: number; conductivity: number } {
  const { system } = base;
  const reference = transportOf(base, mixtureOf(base, records), records).conductivity;
  let pH = 0;
  let conductivity = 0;
  const solver = new Equilibrator(system);
  solver.solve(recipe);
  const moved: ReactionRecord[] = [
    ...system.species.flatMap((s, j) => (s.reaction && base.molality[j] > 1e-8 ? [s.reaction] : [])),
    ...system.solids.flatMap((s, k) => (base.solids[k] > 0 ? [s.record] : [])),
  ];
  for (const reaction of moved) {
    const step = (reaction.origin.uncertainty ?? UNSTATED) / 2;
    const e = solver.solve(recipe, { [reaction.id]: step });
    if (e.status !== 'converged') continue;
    pH += (2 * (e.pH - base.pH)) ** 2;
    const k = transportOf(e, mixtureOf(e, records), records).conductivity;
    if (reference > 0) conductivity += (2 * (k / reference - 1)) ** 2;
  }
  return { pH: Math.sqrt(pH), conductivity: Math.sqrt(conductivity) };
}

function liquidWarnings(e: Equilibrium, mixture: Mixture, transport: Transport): Problem[] {
  const out: Problem[] = [];
  if (mixture.beyond.length > 0)
    out.push({
      code: 'density-range',
      path: 'totals',
      message: `Stronger than the fits of ${mixture.beyond.join(', ')} reach: density and viscosity are extrapolated.`,
    });
  if (transport.guessed.length > 0)
    out.push({
      code: 'mobility-guessed',
      path: 'totals',
      message: `The mobility of ${transport.guessed.join(', ')} is a guess from the charge; the band of the conductivity counts it as good to 30 %.`,
    });
  if (Math.abs(e.acidAdded) > 1e-6)
    out.push({
      code: 'charge-made-up',
      path: 'pH',
      message: `At this pH the charges need ${Math.abs(e.acidAdded).toPrecision(3)} mol/kg more ${e.acidAdded > 0 ? 'anion (strong acid added)' : 'cation (strong alkali added)'} than the totals hold; conductivity and density leave it out.`,
    });
  const waiting = e.system.solids.filter(
    (s, k) => e.saturation[k] > 0.01 && e.solids[k] === 0 && s.record.form === 'fresh',
  );
  if (waiting.length > 0)
    out.push({
      code: 'supersaturated',
      path: 'totals',
      message: `Would drop out: ${waiting.map((s) => `${s.record.name} (${s.id})`).join(', ')}.`,
      hint: 'Solve with "solids": "allowed" to see how much.',
    });
  return out;
}

function propertyRecords(e: Equilibrium, mixture: Mixture, records: AqueousRecords): string[] {
  const there = new Set(e.system.species.flatMap((s, j) => (e.molality[j] > 1e-6 ? [s.id] : [])));
  return [
    ...records.interactions.flatMap((i) =>
      there.has(i.pair[0]) && there.has(i.pair[1]) ? [cite(`interaction ${i.pair.join(' ')}`, i.origin)] : [],
    ),
    ...records.mobilities.flatMap((m) => (there.has(m.id) ? [cite(`mobility ${m.id}`, m.origin)] : [])),
    ...mixture.solutes.flatMap((s) =>
      s.record ? [cite(`density and viscosity ${s.record.id}`, s.record.origin)] : [],
    ),
  ];
}
