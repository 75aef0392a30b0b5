import { anodeWear, burningCurrentDensity, overpotentialAt } from '../../src/electrode/index.js';
import { formulaMass } from '../../src/library/index.js';
import type { Study } from '../runner.js';
import { laws, library, metal } from './records.js';

/** Efficiency at a current density [A/dm2]. */
function efficiency(id: string, amperesPerDm2: number, choice: Parameters<typeof laws>[1] = {}): number {
  const { cathode } = laws(id, choice);
  return cathode.split(overpotentialAt(cathode, -100 * amperesPerDm2)).efficiency;
}

function passiveVolts(): number {
  const { anode } = laws('acetate-nickel');
  const at = (share: number) => overpotentialAt(anode, share * anode.dissolutionLimit);
  return at(2) / at(0.5);
}

/** Runs until through: a 1 mm strip eaten from both faces, thinned to 0.6 mm at one place, and a 6 mm rod. */
function stripAndRod(): number {
  const nickel = metal('Ni', 2);
  const runs = (room: number[]) =>
    anodeWear(Float64Array.of(200, 200), Float64Array.of(1e-4, 1e-4), Float64Array.from(room), 3600, nickel)
      .runsLeft;
  return runs([3e-3, 3e-3]) / runs([0.5e-3, 0.3e-3]);
}

function surfaceRise(): number {
  const { cathode, state } = laws('watts-nickel');
  const rise = (i: number) => cathode.split(overpotentialAt(cathode, -i)).surfacePH - state.pH;
  return rise(700) / rise(100);
}

/** Total current density [A/dm2] at which deposits begin to burn, by the records of the bath. */
function burns(id: string, choice: Parameters<typeof laws>[1] = {}): number {
  const { cathode, values } = laws(id, choice);
  const hydroxide = values.get('bath.hydroxide');
  return (
    burningCurrentDensity(cathode, {
      burning: values.get('bath.burning')!,
      covering: values.get('bath.covering')!,
      ...(hydroxide !== undefined && { hydroxide }),
    }) / 100
  );
}

export const study: Study = {
  'watts-nickel-metal': () => laws('watts-nickel').state.metal * formulaMass(library, 'Ni'),
  'nickel-acetate-share': () => formulaMass(library, 'Ni') / formulaMass(library, 'Ni(CH3COO)2.4H2O'),
  'watts-low': () => efficiency('watts-nickel', 2),
  'watts-high': () => efficiency('watts-nickel', 7),
  copper: () => efficiency('acid-copper', 3),
  strike: () => efficiency('chloride-strike-nickel', 10),
  'still-watts': () => laws('watts-nickel', { agitation: 'still' }).cathode.metalLimit / 100,
  sour: () =>
    efficiency('acetate-nickel', 0.3, { pH: 5.25 }) / efficiency('acetate-nickel', 0.3, { pH: 3.5 }),
  overdriven: () => efficiency('acetate-nickel', 0.3) / efficiency('acetate-nickel', 3),
  chloride: () => laws('watts-nickel').anode.dissolutionLimit / laws('acetate-nickel').anode.dissolutionLimit,
  'passive-volts': passiveVolts,
  'strip-and-rod': stripAndRod,
  'surface-ph': surfaceRise,
  'burn-copper': () => burns('acid-copper'),
  'burn-sulfamate': () => burns('sulfamate-nickel'),
  'burn-watts': () => burns('watts-nickel') / (library.baths.get('watts-nickel')!.currentDensity!.high / 100),
  'weak-burns': () => burns('acetate-nickel', { metal: 20 }) / burns('acetate-nickel', { metal: 3 }),
};
