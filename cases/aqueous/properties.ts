import { waterDensity, waterViscosity } from '../../src/aqueous/index.js';
import type { Study } from '../runner.js';
import { kappa, massPercent, mixture, molar, records, solve, times } from './tools.js';

const SALTS: Record<string, [Record<string, number>, number]> = {
  nacl: [{ Na: 1, Cl: 1 }, 58.443],
  kcl: [{ K: 1, Cl: 1 }, 74.551],
  cuso4: [{ Cu: 1, SO4: 1 }, 159.6],
  znso4: [{ Zn: 1, SO4: 1 }, 161.44],
  h2so4: [{ SO4: 1 }, 98.08],
  hcl: [{ Cl: 1 }, 36.46],
  acetic: [{ acetate: 1 }, 60.052],
  naoh: [{ Na: 1 }, 39.997],
};
const byMass = (salt: string, w: number, t: number) =>
  solve(times(SALTS[salt][0], massPercent(w, SALTS[salt][1])), t);
const conductivity =
  (salt: string, w: number, t = 20) =>
  () =>
    kappa(byMass(salt, w, t));
const density = (salt: string, w: number) => () => mixture(byMass(salt, w, 20)).density;
const each = <T>(list: readonly T[], id: (x: T) => string, compute: (x: T) => () => number): Study =>
  Object.fromEntries(list.map((x) => [id(x), compute(x)]));

const standards = [0, 20, 25, 50].flatMap((t) => [0, 1, 2].map((i) => [t, i] as const));
const ions: [string, string][] = [
  ['d-ni2', 'Ni+2'],
  ['d-cu2', 'Cu+2'],
  ['d-so42', 'SO4-2'],
  ['d-acetate', 'acetate-'],
];

export const study: Study = {
  ...each(
    standards,
    ([t, i]) => `kcl-${t}-${i}`,
    ([t, i]) =>
      () =>
        kappa(solve({ K: 10 ** (i - 2), Cl: 10 ** (i - 2) }, t)),
  ),
  ...each(
    [0.01, 0.1, 0.5, 1, 2, 3],
    (c) => `nacl-${String(c).replace('.', 'p')}`,
    (c) => () => kappa(molar({ Na: 1, Cl: 1 }, c, 25)),
  ),
  ...each(
    [5, 10, 20],
    (w) => `nacl-w${w}`,
    (w) => conductivity('nacl', w),
  ),
  ...each(
    [1, 5, 10],
    (w) => `cuso4-w${w}`,
    (w) => conductivity('cuso4', w),
  ),
  'hcl-w2': conductivity('hcl', 2),
  ...each(
    [5, 10],
    (w) => `acetic-w${w}`,
    (w) => conductivity('acetic', w),
  ),
  'sulfuric-5': conductivity('h2so4', 5, 18),
  'saturated-nacl': conductivity('nacl', 26.4, 25),
  ...each(
    [1, 4, 8, 10, 16, 20, 26],
    (w) => `rho-nacl-${w}`,
    (w) => density('nacl', w),
  ),
  'rho-acetic-5': density('acetic', 5),
  ...each(
    ['cuso4', 'znso4', 'h2so4', 'kcl', 'naoh', 'hcl'],
    (s) => `rho-${s}-10`,
    (s) => density(s, 10),
  ),
  'rho-niso4': () => mixture(molar({ Ni: 1, SO4: 1 }, 1, 25)).density,
  ...each(
    [10, 20],
    (w) => `eta-nacl-${w}`,
    (w) => () => 1e3 * mixture(byMass('nacl', w, 20)).viscosity,
  ),
  ...each(
    [0, 20, 25, 40, 60, 80],
    (t) => `eta-water-${t}`,
    (t) => () => 1e3 * waterViscosity(t + 273.15),
  ),
  ...each(
    [15, 25, 40],
    (t) => `rho-water-${t}`,
    (t) => () => waterDensity(t + 273.15),
  ),
  ...each(
    ions,
    ([id]) => id,
    ([, ion]) =>
      () =>
        1e9 * records.mobilities.find((m) => m.id === ion)!.diffusivity,
  ),
};
