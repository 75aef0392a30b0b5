import type { Study } from '../runner.js';
import { activity, molality, solve, times } from './tools.js';

const pK = (totals: Record<string, number>, t: number, acid: string, base: string): number => {
  const e = solve(totals, t);
  return -Math.log10((activity(e, 'H+') * activity(e, base)) / activity(e, acid));
};
const acetic = (t: number) => () => pK({ acetate: 0.1, Na: 0.05 }, t, 'Hacetate', 'acetate-');
const water = (t: number) => () => {
  const e = solve({ Na: 1e-9, Cl: 1e-9 }, t);
  return -Math.log10(activity(e, 'H+') * activity(e, 'OH-'));
};

/** Mean activity coefficient of a salt given by its totals and ions. */
const gamma = (unit: Record<string, number>, ions: [string, number][], m: number) => () => {
  const e = solve(times(unit, m));
  const count = ions.reduce((s, [, n]) => s + n, 0);
  return Math.exp(ions.reduce((s, [id, n]) => s + (n * Math.log(activity(e, id) / (n * m))) / count, 0));
};
const osmotic = (unit: Record<string, number>, m: number, ions: number) => () =>
  -Math.log(solve(times(unit, m)).waterActivity) / (ions * m * 0.0180153);
const saturated = (totals: Record<string, number>, id: string) => () =>
  molality(solve(totals, 25, { solids: true }), id);
const pH = (totals: Record<string, number>) => () => solve(totals).pH;

function hydroxideOnset(): number {
  let low = 5;
  let high = 9;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (solve({ Ni: 0.1, Cl: 0.2 }, 25, { pH: middle, solids: true }).solids.some((n) => n > 0))
      high = middle;
    else low = middle;
  }
  return high;
}

const vinegar = { acetate: 0.83, Na: 0.5, Cl: 0.5 };
export const study: Study = {
  ...Object.fromEntries([0, 10, 20, 25, 30, 40, 50, 60].map((t) => [`water-${t}`, water(t)])),
  ...Object.fromEntries([0, 25, 50].map((t) => [`acetic-${t}`, acetic(t)])),
  boric: () => pK({ borate: 0.01 }, 25, 'H3BO3', 'B(OH)4-'),
  'hydrogen-sulfate': () => pK({ SO4: 0.1 }, 25, 'HSO4-', 'SO4-2'),
  ammonium: () => pK({ NH4: 0.1, Cl: 0.1 }, 25, 'NH4+', 'NH3'),
  'gamma-hcl-1': gamma(
    { Cl: 1 },
    [
      ['H+', 1],
      ['Cl-', 1],
    ],
    1,
  ),
  ...Object.fromEntries(
    [1, 3, 6].map((m) => [
      `gamma-nacl-${m}`,
      gamma(
        { Na: 1, Cl: 1 },
        [
          ['Na+', 1],
          ['Cl-', 1],
        ],
        m,
      ),
    ]),
  ),
  ...Object.fromEntries(
    [1, 4].map((m) => [
      `gamma-kcl-${m}`,
      gamma(
        { K: 1, Cl: 1 },
        [
          ['K+', 1],
          ['Cl-', 1],
        ],
        m,
      ),
    ]),
  ),
  'gamma-naoh-1': gamma(
    { Na: 1 },
    [
      ['Na+', 1],
      ['OH-', 1],
    ],
    1,
  ),
  'gamma-na-acetate-1': gamma(
    { Na: 1, acetate: 1 },
    [
      ['Na+', 1],
      ['acetate-', 1],
    ],
    1,
  ),
  'gamma-na2so4-1': gamma(
    { Na: 2, SO4: 1 },
    [
      ['Na+', 2],
      ['SO4-2', 1],
    ],
    1,
  ),
  'gamma-nicl2-1': gamma(
    { Ni: 1, Cl: 2 },
    [
      ['Ni+2', 1],
      ['Cl-', 2],
    ],
    1,
  ),
  'gamma-cucl2-1': gamma(
    { Cu: 1, Cl: 2 },
    [
      ['Cu+2', 1],
      ['Cl-', 2],
    ],
    1,
  ),
  'gamma-zncl2-1': gamma(
    { Zn: 1, Cl: 2 },
    [
      ['Zn+2', 1],
      ['Cl-', 2],
    ],
    1,
  ),
  'gamma-h2so4-1': gamma(
    { SO4: 1 },
    [
      ['H+', 2],
      ['SO4-2', 1],
    ],
    1,
  ),
  ...Object.fromEntries(
    ['Ni', 'Cu', 'Zn'].map((m) => [
      `gamma-${m.toLowerCase()}so4-1`,
      gamma(
        { [m]: 1, SO4: 1 },
        [
          [`${m}+2`, 1],
          ['SO4-2', 1],
        ],
        1,
      ),
    ]),
  ),
  'osmotic-nacl-1': osmotic({ Na: 1, Cl: 1 }, 1, 2),
  'osmotic-nacl-3': osmotic({ Na: 1, Cl: 1 }, 3, 2),
  'osmotic-kcl-1': osmotic({ K: 1, Cl: 1 }, 1, 2),
  'osmotic-cuso4-1': osmotic({ Cu: 1, SO4: 1 }, 1, 2),
  'osmotic-niso4-1': osmotic({ Ni: 1, SO4: 1 }, 1, 2),
  halite: saturated({ Na: 9, Cl: 9 }, 'Na+'),
  sylvite: saturated({ K: 8, Cl: 8 }, 'K+'),
  vitriol: () => {
    const e = solve({ Cu: 3, SO4: 3 }, 25, { solids: true });
    return molality(e, 'Cu+2') + molality(e, 'CuSO4');
  },
  'boric-solid': () => {
    const e = solve({ borate: 2 }, 25, { solids: true });
    return 2 - e.solids[e.system.solids.findIndex((s) => s.id === 'H3BO3(s)')];
  },
  'silver-chloride': () => {
    const e = solve({ Ag: 1e-3, Cl: 1e-3 }, 25, { solids: true });
    return molality(e, 'Ag+');
  },
  'pH-vinegar-salt': pH(vinegar),
  'pH-vinegar-nickel': pH({ ...vinegar, Ni: 0.1 }),
  'pH-vinegar-copper-05': pH({ ...vinegar, Cu: 0.05 }),
  'pH-vinegar-copper-1': pH({ ...vinegar, Cu: 0.1 }),
  'pH-vinegar-copper-3': pH({ ...vinegar, Cu: 0.3 }),
  'pH-boric-nickel': pH({ borate: 0.5, Ni: 0.5, SO4: 0.5 }),
  'pH-nickel-sulfate': pH({ Ni: 0.5, SO4: 0.5 }),
  'pH-boric-alone': pH({ borate: 0.5 }),
  'pH-boric-soda': pH({ borate: 0.5, Na: 0.1 }),
  'onset-hydroxide': hydroxideOnset,
};
