import { waterViscosity } from '../../src/aqueous/index.js';
import {
  limitingCurrent,
  naturalConvection,
  nernstEinstein,
  rotatingDisc,
  sandTime,
  stokesEinstein,
} from '../../src/electrode/index.js';
import { chosen } from '../../src/library/index.js';
import { FARADAY } from '../../src/units/index.js';
import type { Study } from '../runner.js';
import { laws, library } from './records.js';

const plate = () =>
  naturalConvection({
    height: 0.05,
    diffusivity: 6e-10,
    kinematicViscosity: 1.1e-6,
    densityDifference: 0.013,
  });
const rotation = (2 * Math.PI * 1000) / 60;
const ion = (perEquivalent: number, charge: number) =>
  nernstEinstein(perEquivalent * 1e-4, charge, 298.15) * 1e9;

/** Time until the surface is empty under a constant flux, by implicit differences in half-space. */
function emptied(diffusivity: number, concentration: number, current: number): number {
  const cells = 400;
  const depth = 6 * Math.sqrt(diffusivity * 15);
  const dx = depth / cells;
  const dt = 0.004;
  const c = new Float64Array(cells + 1).fill(concentration);
  const upper = new Float64Array(cells + 1);
  const r = (diffusivity * dt) / dx ** 2;
  for (let time = 0; time < 60; time += dt) {
    // Thomas: first cell with half volume and a flux, last held at the bulk.
    c[0]! -= (2 * dt * current) / (2 * FARADAY * dx);
    upper[0] = (2 * r) / (1 + 2 * r);
    c[0]! /= 1 + 2 * r;
    for (let k = 1; k < cells; k++) {
      const scale = 1 + 2 * r - r * upper[k - 1]!;
      upper[k] = r / scale;
      c[k] = (c[k]! + r * c[k - 1]!) / scale;
    }
    c[cells] = concentration;
    for (let k = cells - 1; k >= 0; k--) c[k]! += upper[k]! * c[k + 1]!;
    if (c[0]! <= 0) return time + dt;
  }
  return Number.NaN;
}

/** 1 + the largest share by which a diffusivity and a conductivity of the same ion disagree. */
function disagreement(): number {
  let worst = 0;
  for (const { charge, diffusivity, limitingConductivity } of library.species.values()) {
    if (!limitingConductivity) continue;
    const perEquivalent = chosen(limitingConductivity).value / Math.abs(charge);
    const from = nernstEinstein(perEquivalent, charge, 298.15);
    worst = Math.max(worst, Math.abs(from / chosen(diffusivity).value - 1));
  }
  return 1 + worst;
}

const limit = (id: string, choice: Parameters<typeof laws>[1]) => laws(id, choice).cathode.metalLimit;

export const study: Study = {
  'plate-grashof': () => plate().numbers.grashof!,
  'plate-limit': () => limitingCurrent(2, plate().coefficient, 100),
  'disc-limit': () => limitingCurrent(2, rotatingDisc(rotation, 7.14e-10, 8.93e-7), 100),
  'disc-constant': () => rotatingDisc(1, 1, 1),
  sand: () => sandTime(2, 6e-10, 100, 120.491),
  'sand-diffusion': () => emptied(6e-10, 100, 120.491),
  'nickel-ion': () => ion(49.6, 2),
  'copper-ion': () => ion(53.6, 2),
  'hydrogen-ion': () => ion(349.65, 1),
  'records-agree': disagreement,
  'nickel-warm': () => stokesEinstein(0.661e-9, 298.15, 328.15, waterViscosity) * 1e9,
  stirring: () => limit('watts-nickel', { agitation: 'stirred' }) / limit('watts-nickel', {}),
  warming: () =>
    limit('acetate-nickel', { temperature: 323.15 }) / limit('acetate-nickel', { temperature: 293.15 }),
  strength: () => limit('acetate-nickel', { metal: 20 }) / limit('acetate-nickel', { metal: 5 }),
};
