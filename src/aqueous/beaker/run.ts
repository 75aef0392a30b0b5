import odex from 'odex';
import { FARADAY, type Problem } from '../../units/index.js';
import { transportOf } from '../conductivity.js';
import { Equilibrator } from '../equilibrium.js';
import { type Mixture, mixtureOf } from '../mixture.js';
import type { AqueousRecords } from '../records.js';
import { compileSystem } from '../system.js';
import { waterVapourPressure } from '../water.js';
import { type CellMemory, cellNow } from './cell.js';
import type {
  BeakerEnd,
  BeakerPoint,
  BeakerRun,
  BeakerSetup,
  Currents,
  Electrodes,
  LiquidNow,
} from './model.js';

/** Heat capacity of dilute liquids [J/(kg K)], that of water (IAPWS, 25 C); a strong bath has up to a fifth less. */
const HEAT_CAPACITY = 4180;
/** Heat of evaporation of water [J/kg] at 30 C (steam tables, from memory). */
const EVAPORATION_HEAT = 2.43e6;
const WATER_MOLAR_MASS = 0.0180153;
const GAS_CONSTANT = 8.314462618;
/**
 * Vapour carried off an open surface in a still room [m/s]: 0.1 kg/(m2 h) at 20 C and half humidity
 * (common practice, no source; a draught doubles it).
 */
const VAPOUR_TRANSFER = 3e-3;
/**
 * Volts of electrical work that leave as chemical energy [V]: formation enthalpies (CODATA; from memory) of water
 * (-285.8 kJ/mol) for oxygen, HCl in water (-167.1) for chlorine; metal against hydrogen gives -54.0 kJ/mol for nickel.
 */
const STORED = { oxygen: 1.481, chlorine: 1.732, metalAgainstHydrogen: -0.28 };

/** What changes in time, in the order of the vector. */
const STATE = [
  'metal',
  'chloride',
  'water',
  'temperature',
  'charge',
  'dissolved',
  'plated',
  'hydrogen',
  'oxygen',
  'chlorine',
] as const;
/** Size of each that counts as one in the error of a step. */
const SIZES = [0.01, 0.01, 1, 300, 1e4, 0.01, 0.01, 0.01, 0.01, 0.01];
type State = Record<(typeof STATE)[number], number>;
const named = (y: readonly number[]): State => Object.fromEntries(STATE.map((k, i) => [k, y[i]])) as State;

interface Moment {
  liquid: LiquidNow;
  currents: Currents;
  mixture: Mixture;
  sludge: number;
  waterActivity: number;
  mass: number;
}

/** Looks at the beaker: composition to pH, conductivity and currents. */
function observer(setup: BeakerSetup, records: AqueousRecords, electrodes: Electrodes) {
  const names = [...new Set([...Object.keys(setup.amounts), setup.metal])];
  const system = compileSystem(records, names);
  const solver = new Equilibrator(system);
  const memory: CellMemory = { anode: 0.2, cathode: -0.5, current: 0.1 };
  const metalIndex = system.components.indexOf(setup.metal);
  return (s: State): Moment => {
    const totals: Record<string, number> = {};
    for (const name of names) totals[name] = (setup.amounts[name] ?? 0) / s.water;
    totals[setup.metal] = Math.max(s.metal, 0) / s.water;
    if ('Cl' in setup.amounts) totals.Cl = Math.max(s.chloride, 0) / s.water;
    const e = solver.solve({ temperature: s.temperature, totals, solids: true });
    const mixture = mixtureOf(e, records);
    const { conductivity } = transportOf(e, mixture, records);
    let dissolved = 0;
    for (let j = 0; j < e.molality.length; j++) dissolved += system.species[j].nu[metalIndex] * e.molality[j];
    const concentration = Object.fromEntries(names.map((n) => [n, totals[n] * mixture.waterPerVolume]));
    const metal = dissolved * mixture.waterPerVolume;
    const liquid = {
      temperature: s.temperature,
      pH: e.pH,
      metal,
      chloride: concentration.Cl ?? 0,
      concentration,
      conductivity,
    };
    const currents = cellNow(
      setup,
      electrodes({ ...liquid, metal: Math.max(metal, 1e-3) }),
      conductivity,
      memory,
    );
    return {
      liquid,
      currents,
      mixture,
      sludge: (totals[setup.metal] - dissolved) * s.water,
      waterActivity: e.waterActivity,
      mass: s.water / (1 - mixture.massFraction),
    };
  };
}

/** Water lost to the air [kg/s]; negative when it condenses. */
function evaporation(setup: BeakerSetup, temperature: number, waterActivity: number): number {
  const { surroundings } = setup;
  const vapour = (t: number, share: number): number =>
    (share * waterVapourPressure(t) * WATER_MOLAR_MASS) / (GAS_CONSTANT * t);
  return (
    VAPOUR_TRANSFER *
    surroundings.openArea *
    (vapour(temperature, waterActivity) - vapour(surroundings.temperature, surroundings.humidity))
  );
}

function rates(setup: BeakerSetup, s: State, now: Moment): number[] {
  const { currents: c, mass, waterActivity } = now;
  const moles = (current: number, electrons: number): number => current / (electrons * FARADAY);
  const vapour = evaporation(setup, s.temperature, waterActivity);
  const { surroundings } = setup;
  const heat =
    c.total * c.voltage -
    STORED.oxygen * c.oxygen -
    STORED.chlorine * c.chlorine -
    STORED.metalAgainstHydrogen * (c.hydrogen - c.oxygen - c.chlorine) -
    surroundings.heatLoss * (s.temperature - surroundings.temperature) -
    EVAPORATION_HEAT * vapour;
  return [
    moles(c.dissolution - c.plating, setup.electrons),
    -moles(c.chlorine, 1),
    -vapour - moles(c.oxygen, 2) * WATER_MOLAR_MASS,
    heat / (HEAT_CAPACITY * mass + surroundings.vessel),
    c.total,
    moles(c.dissolution, setup.electrons),
    moles(c.plating, setup.electrons),
    moles(c.hydrogen, 2),
    moles(c.oxygen, 4),
    moles(c.chlorine, 2),
  ];
}

/** Highest temperature the run goes on to [K], and least share of the water. */
const TOO_HOT = 368.15;
const TOO_DRY = 0.25;

/**
 * Follows the beaker for a time [s].
 *
 * Speciation and the two electrodes are at their steady state at every moment (they settle in seconds, the beaker takes
 * hours), which takes the stiffness out; the rest is integrated by odex. Metal and charge balances of every step are kept
 * in the points.
 *
 * @param tolerance relative error of a step; the balances hold to rounding whatever it is
 */
export function runBeaker(
  setup: BeakerSetup,
  duration: number,
  records: AqueousRecords,
  electrodes: Electrodes,
  tolerance = 1e-7,
): BeakerRun {
  const look = observer(setup, records, electrodes);
  const start = [
    setup.amounts[setup.metal] ?? 0,
    setup.amounts.Cl ?? 0,
    setup.water,
    setup.temperature,
    0,
    0,
    0,
    0,
    0,
    0,
  ];
  const solver = new odex.Solver(start.length);
  solver.relativeTolerance = tolerance;
  solver.absoluteTolerance = SIZES.map((size) => size * tolerance);
  solver.initialStepSize = 1;
  solver.maxStepSize = duration / 16;
  solver.maxSteps = 5000;
  const points: BeakerPoint[] = [];
  let end: BeakerEnd = 'time';
  const derivative = (_t: number, y: number[]): number[] => {
    const s = named(y);
    return rates(setup, s, look(s));
  };
  let evaluations = 0;
  let outcome = 0;
  const done = solver.solve(
    (t, y) => {
      evaluations += 1;
      return derivative(t, y);
    },
    0,
    start,
    duration,
    (_n, _old, t, y) => {
      const s = named(y);
      points.push(pointOf(setup, t, s, look(s), records));
      if (s.temperature > TOO_HOT) end = 'boiling';
      else if (s.water < TOO_DRY * setup.water) end = 'dry';
      return end === 'time' ? undefined : false;
    },
  );
  outcome = done.outcome;
  const finished = outcome === 0 || end !== 'time';
  const standstill = standstillOf(points);
  const ceiling = ceilingOf(setup, points, records);
  return {
    status: !finished ? 'failed' : end === 'time' ? 'done' : 'stopped',
    end: finished ? end : 'stalled',
    points,
    ...(standstill && { standstill }),
    ...(ceiling !== undefined && { ceiling }),
    warnings: warningsOf(points, end),
    evaluations,
  };
}

function pointOf(
  setup: BeakerSetup,
  time: number,
  s: State,
  now: Moment,
  records: AqueousRecords,
): BeakerPoint {
  const molarMass = records.components.find((c) => c.id === setup.metal)!.molarMass;
  const began = setup.amounts[setup.metal] ?? 0;
  const size = Math.max(s.metal, s.dissolved, 1e-12);
  const metalError = Math.abs(began + s.dissolved - s.plated - s.metal) / size;
  const charge = FARADAY * (setup.electrons * s.dissolved + 4 * s.oxygen + 2 * s.chlorine);
  const spent = FARADAY * (setup.electrons * s.plated + 2 * s.hydrogen);
  const chargeError =
    Math.max(Math.abs(charge - s.charge), Math.abs(spent - s.charge)) / Math.max(s.charge, 1e-6);
  return {
    ...now.currents,
    time,
    temperature: s.temperature,
    pH: now.liquid.pH,
    metal: now.liquid.metal * molarMass,
    sludge: now.sludge,
    conductivity: now.liquid.conductivity,
    volume: now.mass / now.mixture.density,
    water: s.water,
    charge: s.charge,
    dissolved: s.dissolved,
    plated: s.plated,
    hydrogenGas: s.hydrogen,
    oxygenGas: s.oxygen,
    chlorineGas: s.chlorine,
    balance: Math.max(metalError, chargeError),
  };
}

/** The first time the gain falls under a twentieth of what the current could dissolve. */
function standstillOf(points: BeakerPoint[]): BeakerRun['standstill'] {
  for (const p of points) {
    if (p.time === 0 || p.total === 0) continue;
    const gain = (p.dissolution - p.plating) / p.total;
    if (p.sludge > 0.02 * Math.max(p.dissolved, 1e-9) + 1e-9 && p.pH > 5.5)
      return { time: p.time, reason: 'acid-used-up' };
    if (gain < 0.05)
      return { time: p.time, reason: p.dissolution < 0.5 * p.total ? 'anode-passive' : 'plates-back' };
  }
  return undefined;
}

/** Metal [kg/m3] at which every free acid would be neutral salt: the hydrogen total at the start over the electrons. */
function ceilingOf(setup: BeakerSetup, points: BeakerPoint[], records: AqueousRecords): number | undefined {
  let acid = 0;
  for (const c of records.components) acid -= c.charge * (setup.amounts[c.id] ?? 0);
  const first = points[0];
  if (!first || acid <= 0) return undefined;
  const molarMass = records.components.find((c) => c.id === setup.metal)!.molarMass;
  return ((acid / setup.electrons + (setup.amounts[setup.metal] ?? 0)) * molarMass) / first.volume;
}

function warningsOf(points: BeakerPoint[], end: BeakerEnd): Problem[] {
  const out: Problem[] = [];
  const last = points.at(-1);
  if (!last) return out;
  if (last.chlorineGas * 2 * FARADAY > 0.005 * last.charge)
    out.push({
      code: 'chlorine',
      path: 'anode',
      message: `The anode makes chlorine: ${(last.chlorineGas * 70.9).toPrecision(2)} g in this time.`,
      hint: 'Stop: lower the current, give the anode more area, or leave the chloride out with an anode that does not dissolve.',
    });
  out.push({
    code: 'hydrogen',
    path: 'cathode',
    message: `${(last.hydrogenGas * 24.5).toPrecision(2)} L of hydrogen in this time.`,
    hint: 'No tight lid, no flame, and a window open.',
  });
  const hottest = points.reduce((t, p) => Math.max(t, p.temperature), 0);
  if (hottest > 333.15)
    out.push({
      code: 'hot',
      path: 'temperature',
      message: `The liquid reaches ${(hottest - 273.15).toFixed(0)} C.`,
      hint: 'Less voltage, more distance, or a water bath around it; hot acid gives off fumes.',
    });
  if (end === 'dry')
    out.push({
      code: 'dry',
      path: 'water',
      message: 'Most of the water has gone.',
      hint: 'Top up with distilled water, or lay a lid on loosely.',
    });
  return out;
}
