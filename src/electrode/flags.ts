import type { Cathode, CathodeSplit } from './cathode.js';
import { overpotentialAt } from './surface-law.js';

/** Where a deposit stops being sound; each number is a record of the bath. */
export interface SoundLimits {
  /** Share of the limiting current at which deposits begin to burn. */
  burning: number;
  /** Metal current density below which the surface stays bare [A/m2]. */
  covering: number;
  /** Surface pH at which the metal's hydroxide forms; left out where none does. */
  hydroxide?: number;
}

export interface SurfaceFlags {
  /** Dark, rough or powdery: the metal comes faster than it can settle, or hydroxide is caught in it. */
  burns: boolean;
  /** Too little metal to cover. */
  bare: boolean;
}

/** What a place on the part looks like under its share of the current. */
export function surfaceFlags(split: CathodeSplit, limits: SoundLimits): SurfaceFlags {
  const hydroxide = limits.hydroxide !== undefined && split.surfacePH > limits.hydroxide;
  return {
    burns: split.limitFraction >= limits.burning || hydroxide,
    bare: split.metal < limits.covering,
  };
}

/** Highest total current density [A/m2] that does not burn: where the first of the two signs is met. */
export function burningCurrentDensity(cathode: Cathode, limits: SoundLimits): number {
  const [REST, DEEP] = [0, -3];
  const burns = (eta: number) => surfaceFlags(cathode.split(eta), { ...limits, covering: 0 }).burns;
  let [low, high] = [REST, DEEP];
  for (let step = 0; step < 60; step++) {
    const middle = (low + high) / 2;
    if (burns(middle)) high = middle;
    else low = middle;
  }
  return -cathode.at(low)[0];
}

/** Total current density [A/m2] at which the metal current just covers. */
export function coveringCurrentDensity(cathode: Cathode, covering: number): number {
  if (covering >= cathode.metalLimit) return Number.POSITIVE_INFINITY;
  const eta = overpotentialAt({ at: (e) => metalWithSlope(cathode, e) }, -covering);
  return -cathode.at(eta)[0];
}

/** Metal current and its slope by a small difference, for the one search above. */
function metalWithSlope(cathode: Cathode, eta: number): readonly [number, number] {
  const step = 1e-5;
  const here = -cathode.split(eta).metal;
  return [here, (-cathode.split(eta + step).metal - here) / step];
}
