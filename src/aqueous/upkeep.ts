import { done, FARADAY, type Outcome, type Problem, plain, refused } from '../units/index.js';

/** What happens to a bath over its ampere-hours. SI. */
export interface Upkeep {
  /** Liquid [m3], metal [kg/m3] at the start, its molar mass [kg/mol] and electrons. */
  volume: number;
  metal: number;
  molarMass: number;
  electrons: number;
  /** Share of the current that dissolves the anode, and that deposits. */
  anodeEfficiency: number;
  cathodeEfficiency: number;
  /** Liquid carried out with the parts for every coulomb [m3/C], and water lost to the air [m3/C]. */
  dragOut: number;
  evaporation: number;
}

export interface UpkeepPoint {
  charge: number;
  /** [kg/m3] */
  metal: number;
  /** Metal put in, taken out with the deposit, carried out with liquid [kg]. */
  dissolved: number;
  deposited: number;
  dragged: number;
  /** Water added to hold the level [m3]. */
  water: number;
  /** Acid the bath has lost as hydrogen over what oxygen made [mol]: add as much to hold the pH. */
  acid: number;
}

/**
 * Metal, acid and water over a charge [C], the level held with water. Volume lost to drag-out is replaced by water, so
 * metal decays exponentially towards the balance of anode and cathode:
 * dm/dq = (a - c) M/(zF) - d m/V, in closed form.
 */
export function upkeepAt(bath: Upkeep, charge: number): UpkeepPoint {
  const { volume, metal, molarMass, electrons, anodeEfficiency, cathodeEfficiency, dragOut } = bath;
  const perCharge = molarMass / (electrons * FARADAY);
  const gain = (anodeEfficiency - cathodeEfficiency) * perCharge;
  const began = metal * volume;
  const decay = dragOut / volume;
  // (1 - exp(-x))/x without cancellation.
  const x = decay * charge;
  const mean = x < 1e-8 ? 1 - x / 2 : -Math.expm1(-x) / x;
  const mass = began * Math.exp(-x) + gain * charge * mean;
  const dissolved = anodeEfficiency * perCharge * charge;
  const deposited = cathodeEfficiency * perCharge * charge;
  return {
    charge,
    metal: mass / volume,
    dissolved,
    deposited,
    dragged: began + dissolved - deposited - mass,
    water: (dragOut + bath.evaporation) * charge,
    acid: (1 - cathodeEfficiency - (1 - anodeEfficiency)) * (charge / FARADAY),
  };
}

/**
 * Charge [C] after which the metal leaves a window [kg/m3], or Infinity if it never does.
 */
export function chargeUntil(bath: Upkeep, low: number, high: number): number {
  const out = (q: number): boolean => {
    const { metal } = upkeepAt(bath, q);
    return metal < low || metal > high;
  };
  const longest = 1e12;
  if (out(0)) return 0;
  if (!out(longest)) return Number.POSITIVE_INFINITY;
  let a = 0;
  let b = 3600;
  while (!out(b)) b *= 2;
  for (let i = 0; i < 80; i++) {
    const middle = (a + b) / 2;
    if (out(middle)) b = middle;
    else a = middle;
  }
  return b;
}

/**
 * Rinse water for every litre carried over, to thin it `ratio` times in `tanks` counter-flow tanks:
 * the exact balance sum_{k=0..n} r^k = ratio (each tank well mixed).
 */
export function rinseRatio(ratio: number, tanks: number): number {
  let low = 0;
  let high = ratio;
  for (let i = 0; i < 200; i++) {
    const r = (low + high) / 2;
    let sum = 0;
    for (let k = 0, power = 1; k <= tanks; k++, power *= r) sum += power;
    if (sum > ratio) high = r;
    else low = r;
  }
  return (low + high) / 2;
}

/** Still rinses: what a dip carries over is thinned by each tank in turn, `dips` parts, drag over tank volume. */
export const stillRinse = (drag: number, tank: number, dips: number): number =>
  1 - Math.exp((-dips * drag) / tank);

/** A titration of a metal with EDTA, one to one. */
export interface Titration {
  metal: string;
  molarMass: number;
  /** Sample taken [m3], titrant used [m3], its strength [mol/m3]. */
  sample: number;
  titrant: number;
  strength: number;
}

/** Metals and what else the titrant takes, so that the answer is too high (common practice, no source). */
const INTERFERES: Record<string, string> = {
  Ni: 'Copper, zinc, iron and calcium are counted as nickel. Murexide needs ammonia at pH 9 to 10; boric acid and acetate do not disturb.',
  Cu: 'Nickel, zinc and iron are counted as copper.',
  Zn: 'Nickel, copper, calcium and magnesium are counted as zinc; buffer to pH 10 with ammonia.',
};

/** Metal [kg/m3] from the titrant used, with the spread of reading a burette or a syringe to `readSpread` [m3]. */
export function titrate(
  t: Titration,
  readSpread: number,
): Outcome<{ metal: number; spread: number; note: string }> {
  const problems: Problem[] = [];
  const positive = (value: number, path: string, hint: string): void => {
    if (!(value > 0))
      problems.push({ code: 'not-positive', path, message: `${path} is ${plain(value)}.`, hint });
  };
  positive(t.sample, 'sample', 'The volume of bath taken, e.g. 2 mL.');
  positive(t.titrant, 'titrant', 'What was used up to the change of colour.');
  positive(t.strength, 'strength', 'e.g. 0.1 mol/L');
  if (problems.length > 0) return refused(...problems);
  const metal = (t.titrant * t.strength * t.molarMass) / t.sample;
  if (metal > 300)
    return refused({
      code: 'too-strong',
      path: 'titrant',
      message: `That would be ${plain(metal)} g/L of metal.`,
      hint: 'Was the sample diluted, or the titrant 0.01 instead of 0.1 mol/L?',
    });
  const spread = metal * Math.hypot(readSpread / t.titrant, readSpread / t.sample, 0.01);
  return done({
    metal,
    spread,
    note: INTERFERES[t.metal] ?? 'Other metals that bind EDTA are counted with it.',
  });
}

/** Charge [C] and time [s] of dummying: a foreign metal plated out at a low current density on a bent sheet. */
export function dummy(
  foreign: {
    concentration: number;
    target: number;
    molarMass: number;
    electrons: number;
    efficiency: number;
  },
  volume: number,
  current: number,
): { charge: number; time: number } {
  // At a low current the share that goes into the foreign metal falls with its concentration: first order, hence the logarithm.
  const { concentration, target, molarMass, electrons, efficiency } = foreign;
  const ratio = Math.max(1, concentration / target);
  const charge = (electrons * FARADAY * concentration * volume * Math.log(ratio)) / (molarMass * efficiency);
  return { charge, time: charge / current };
}
