import type { Equilibrium } from './equilibrium.js';
import type { AqueousRecords, SoluteRecord } from './records.js';

/** One salt, acid or neutral substance a liquid can be thought to be made of. */
export interface Solute {
  /** Component ids of its ions (`OH` for hydroxide) or of the neutral species. */
  cation: string;
  anion: string;
  /** Formula units per kg of water. */
  molality: number;
  /** [kg/mol] */
  molarMass: number;
  record?: SoluteRecord;
  /** Units of cation and anion in the formula. */
  cations: number;
  anions: number;
  /** Half the sum of the squared charges of its ions. */
  valence: number;
}

/** Neutral species that count as solutes of their own, with the components they hold. */
const NEUTRAL: Record<string, Record<string, number>> = {
  Hacetate: { H: 1, acetate: 1 },
  H3citrate: { H: 3, citrate: 1 },
  Hsulfamate: { H: 1, sulfamate: 1 },
  CO2: { H: 2, CO3: 1 },
  NH3: { NH4: 1, H: -1 },
};

const OXYGEN_HYDROGEN = 0.017007;

/**
 * The liquid as salts: complexes taken apart, neutral acids kept, ions paired in proportion to their equivalents, so that
 * nothing jumps when an ion appears. Boric acid and its ions count as boric acid and hydroxide.
 */
export function solutesOf(e: Equilibrium, records: AqueousRecords): Solute[] {
  const { system } = e;
  const amount: Record<string, number> = {};
  const mass: Record<string, number> = { OH: OXYGEN_HYDROGEN };
  const charge: Record<string, number> = { OH: -1 };
  system.components.forEach((id, i) => {
    mass[id] = system.molarMass[i];
    charge[id] = system.charges[i];
    let sum = 0;
    for (let j = 0; j < e.molality.length; j++) sum += system.species[j].nu[i] * e.molality[j];
    amount[id] = sum;
  });
  const solutes: Solute[] = [];
  const neutral = (id: string, components: Record<string, number>, molality: number): void => {
    if (!(molality > 0)) return;
    const molarMass = Object.entries(components).reduce((m, [c, n]) => m + n * mass[c], 0);
    const record = records.solutes.find((s) => s.id === id);
    solutes.push({
      cation: id,
      anion: '',
      molality,
      molarMass,
      cations: 1,
      anions: 0,
      valence: 0,
      ...(record ? { record } : {}),
    });
  };
  for (const [id, components] of Object.entries(NEUTRAL)) {
    const j = system.species.findIndex((s) => s.id === id);
    if (j < 0) continue;
    neutral(id, components, e.molality[j]);
    for (const [c, n] of Object.entries(components)) amount[c] -= n * e.molality[j];
  }
  if (amount.borate > 0) {
    neutral('H3BO3', { borate: 1 }, amount.borate);
    amount.borate = 0;
  }
  // Hydrogen short of zero is hydroxide; both at once (water itself) is left out.
  if (amount.H < 0) {
    amount.OH = -amount.H;
    amount.H = 0;
  }
  const ions = Object.keys(amount).filter((id) => amount[id] > 0 && charge[id] !== 0);
  const cations = ions.filter((id) => charge[id] > 0);
  const anions = ions.filter((id) => charge[id] < 0);
  const equivalents = (list: string[]): number =>
    list.reduce((s, id) => s + amount[id] * Math.abs(charge[id]), 0);
  const all = Math.max(equivalents(cations), equivalents(anions));
  for (const c of cations)
    for (const a of anions) {
      const zc = charge[c];
      const za = -charge[a];
      const shared = (amount[c] * zc * amount[a] * za) / all;
      const both = lowest(zc, za);
      const nc = both / zc;
      const na = both / za;
      const record = findSolute(records, c, nc, a, na);
      solutes.push({
        cation: c,
        anion: a,
        molality: shared / both,
        molarMass: nc * mass[c] + na * mass[a],
        cations: nc,
        anions: na,
        valence: 0.5 * (nc * zc ** 2 + na * za ** 2),
        ...(record ? { record } : {}),
      });
    }
  return solutes.filter((s) => s.molality > 1e-12);
}

const lowest = (a: number, b: number): number => {
  let n = Math.max(a, b);
  while (n % a !== 0 || n % b !== 0) n++;
  return n;
};

/** Records by their components, spelled in one order, for each set of records once. */
const indices = new WeakMap<AqueousRecords, Map<string, SoluteRecord>>();
const spell = (parts: [string, number][]): string =>
  parts
    .map(([c, n]) => `${c}${n}`)
    .sort()
    .join(' ');

function findSolute(
  records: AqueousRecords,
  cation: string,
  nc: number,
  anion: string,
  na: number,
): SoluteRecord | undefined {
  let index = indices.get(records);
  if (!index) {
    index = new Map(records.solutes.map((s) => [spell(Object.entries(s.components)), s]));
    indices.set(records, index);
  }
  return index.get(spell([[cation, nc], anion === 'OH' ? ['H', -na] : [anion, na]]));
}
