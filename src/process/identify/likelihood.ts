import type { Identification } from '../records/shapes-intake.js';
import type { Density } from './density.js';

/** What the person knows of hollows: the weight then says less. */
export type Hollow = 'solid' | 'unknown' | 'hollow';

/**
 * Standard normal distribution function (Abramowitz & Stegun 7.1.26 for erf, off by less than 1.5e-7, from memory).
 */
export function normalCdf(x: number): number {
  const z = Math.abs(x) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * z);
  const poly =
    t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))));
  const tail = 0.5 * poly * Math.exp(-z * z);
  return x < 0 ? tail : 1 - tail;
}

/** Probability density of reading `x` where the true value lies evenly in [from, to] and the reading is off by sigma. */
function evenWithNoise(x: number, from: number, to: number, sigma: number): number {
  const width = to - from;
  return (normalCdf((to - x) / sigma) - normalCdf((from - x) / sigma)) / width;
}

/** Densities of parts nobody expected lie evenly over this span [kg/m3]: lighter than wood sinks, heavier than gold is none. */
const SURPRISE = { from: 1000, to: 20000 };

/**
 * Probability density [m3/kg] of the measured density for a metal: solid, hollow or filled, or a surprise.
 */
export function densityLikelihood(
  metal: Identification['metals'][number],
  measured: Density,
  hollow: Hollow,
  { solidUnlessTold, hollowFill, surprise }: Identification['weighing'],
): number {
  const solidShare = { solid: 1 - surprise, unknown: solidUnlessTold, hollow: surprise }[hollow];
  const { from, to } = metal.density;
  const solid = evenWithNoise(measured.value, from, to, measured.sigma);
  const mid = (from + to) / 2;
  const partial = evenWithNoise(measured.value, mid * hollowFill.from, mid * hollowFill.to, measured.sigma);
  const odd = 1 / (SURPRISE.to - SURPRISE.from);
  return (1 - surprise) * (solidShare * solid + (1 - solidShare) * partial) + surprise * odd;
}
