import type { z } from 'zod';
import { done, type Outcome, type Problem, parseQuantity } from '../units/index.js';
import { AQUEOUS_DOCUMENTS, type Doc, type kind } from './documents.js';

/** The records of the water model in SI. Data is handed in already parsed: doors read the files. */

/** Where a number came from, printed under `records` of a result. */
export interface Origin {
  source: string;
  place?: string;
  kind: z.infer<typeof kind>;
  /** Spread of the 90 % interval, in the unit of the value. */
  uncertainty?: number;
}

export interface ComponentRecord {
  id: string;
  species: string;
  name: string;
  charge: number;
  /** [kg/mol] */
  molarMass: number;
}

export interface ReactionRecord {
  id: string;
  components: Record<string, number>;
  /** log10 K at 25 C and zero ionic strength. */
  logK: number;
  /** [J/mol]; undefined where unknown. */
  enthalpy?: number;
  analytic?: number[];
  origin: Origin;
}
export interface SpeciesRecord extends ReactionRecord {
  salting: number;
}
export interface SolidRecord extends ReactionRecord {
  name: string;
  form: 'fresh' | 'aged';
}
export interface InteractionRecord {
  pair: [string, string];
  epsilon: number;
  slope: number;
  origin: Origin;
}
export interface MobilityRecord {
  id: string;
  /** [m2/s] at 25 C */
  diffusivity: number;
  walden?: number;
  warmth?: number;
  size?: number;
  drag?: number;
  hops?: boolean;
  origin: Origin;
}
export interface SoluteRecord {
  id: string;
  components: Record<string, number>;
  volume?: number[];
  viscosity?: number[];
  maxMassFraction?: number;
  origin: Origin;
}

/** What a bath is made from, as sold. */
export interface SubstanceRecord {
  id: string;
  name: string;
  /** Components of one formula unit. */
  gives: Record<string, number>;
  /** [kg/mol] */
  molarMass: number;
  /** Mass fraction of the substance in what is usually sold. */
  strength: number;
}

/** How coloured solutions absorb, and how an eye sees. Wavelengths in nm, as every table of them is. */
export interface SpectraRecord {
  start: number;
  step: number;
  /** Molar absorptivity [m2/mol] by component. */
  absorptivity: Record<string, number[]>;
  /** Relative spread of the absorptivities. */
  uncertainty: number;
  observer: { start: number; step: number; x: number[]; y: number[]; z: number[]; d65: number[] };
}

/** Everything the water model knows, in SI. */
export interface AqueousRecords {
  components: ComponentRecord[];
  species: SpeciesRecord[];
  solids: SolidRecord[];
  interactions: InteractionRecord[];
  interactionByCharge: Record<string, number>;
  mobilities: MobilityRecord[];
  mobilityDefaults: { diffusivity: number; size: number; drag: number; walden: number; warmth: number };
  solutes: SoluteRecord[];
  /** Partial molar volume [m3/mol] and viscosity coefficient B [m3/mol] of what has no fit. */
  additive: Record<string, { volume: number; viscosity: number }>;
  substances: SubstanceRecord[];
  /** Substances that get no recipe, and why. */
  refused: { match: string[]; reason: string }[];
  spectra?: SpectraRecord;
}

type Own = {
  source?: string | undefined;
  kind?: Origin['kind'] | undefined;
  uncertainty?: number | undefined;
  place?: string | undefined;
};
type Table = { source: string; kind: Origin['kind']; uncertainty?: number | undefined };

const originOf = (table: Table, entry: Own): Origin => {
  const uncertainty = entry.uncertainty ?? table.uncertainty;
  return {
    source: entry.source ?? table.source,
    kind: /from memory/.test(entry.place ?? '') ? 'assumed' : (entry.kind ?? table.kind),
    ...(entry.place === undefined ? {} : { place: entry.place }),
    ...(uncertainty === undefined ? {} : { uncertainty }),
  };
};

function reaction(
  table: Table,
  entry: Doc<'aqueous-species'>['species'][number] | Doc<'aqueous-solids'>['solids'][number],
  problems: Problem[],
): ReactionRecord {
  const { id, components, logK, enthalpy, analytic } = entry;
  const read =
    enthalpy === undefined || enthalpy === 'unknown' ? undefined : parseQuantity(enthalpy, 'molarEnergy', id);
  if (read && !read.ok) problems.push(...read.problems);
  return {
    id,
    components,
    logK,
    ...(read?.ok ? { enthalpy: read.value } : {}),
    ...(analytic ? { analytic: analytic.coefficients } : {}),
    origin: originOf(table, entry),
  };
}

const si = (
  text: string,
  dimension: 'molarMass' | 'diffusivity',
  path: string,
  problems: Problem[],
): number => {
  const read = parseQuantity(text, dimension, path);
  if (read.ok) return read.value;
  problems.push(...read.problems);
  return Number.NaN;
};

/**
 * Reads parsed documents of `library/species/aqueous/` (others are passed over) into one set of records.
 * A defect of a file is a problem with its path, not an exception.
 */
export function readAqueousRecords(documents: unknown[]): Outcome<AqueousRecords> {
  const problems: Problem[] = [];
  const out: AqueousRecords = {
    components: [],
    species: [],
    solids: [],
    interactions: [],
    interactionByCharge: {},
    mobilities: [],
    mobilityDefaults: { diffusivity: 0, size: 0, drag: 0, walden: 0, warmth: 0 },
    solutes: [],
    additive: {},
    substances: [],
    refused: [],
  };
  for (const document of documents) {
    const name = (document as { document?: string } | null)?.document ?? '';
    if (!(name in AQUEOUS_DOCUMENTS)) continue;
    const schema = AQUEOUS_DOCUMENTS[name as keyof typeof AQUEOUS_DOCUMENTS];
    const read = schema.safeParse(document);
    if (!read.success) {
      for (const issue of read.error.issues)
        problems.push({
          code: 'record-shape',
          path: `${name}.${issue.path.join('.')}`,
          message: issue.message,
        });
      continue;
    }
    collect(read.data, out, problems);
  }
  if (problems.length > 0) return { ok: false, problems };
  return done(out);
}

function collect(data: Doc<keyof typeof AQUEOUS_DOCUMENTS>, out: AqueousRecords, problems: Problem[]): void {
  switch (data.document) {
    case 'aqueous-components':
      for (const c of data.components)
        out.components.push({
          id: c.id,
          species: c.species,
          name: c.name,
          charge: c.charge,
          molarMass: si(c.molarMass, 'molarMass', c.id, problems),
        });
      break;
    case 'aqueous-species':
      for (const s of data.species)
        out.species.push({ ...reaction(data, s, problems), salting: s.salting ?? 0 });
      break;
    case 'aqueous-solids':
      for (const s of data.solids)
        out.solids.push({ ...reaction(data, s, problems), name: s.name, form: s.form });
      break;
    case 'aqueous-interactions':
      for (const i of data.interactions)
        out.interactions.push({
          pair: i.pair,
          epsilon: i.epsilon,
          slope: i.slope ?? 0,
          origin: originOf(data, i),
        });
      out.interactionByCharge = data.estimates.byCharge;
      break;
    case 'aqueous-mobilities':
      for (const m of data.ions)
        out.mobilities.push({
          id: m.id,
          diffusivity: si(m.diffusivity, 'diffusivity', m.id, problems),
          ...(m.walden === undefined ? {} : { walden: m.walden }),
          ...(m.warmth === undefined ? {} : { warmth: m.warmth }),
          ...(m.size === undefined ? {} : { size: m.size }),
          ...(m.drag === undefined ? {} : { drag: m.drag }),
          ...(m.hops ? { hops: true } : {}),
          origin: originOf(data, m),
        });
      out.mobilityDefaults = {
        ...data.defaults,
        diffusivity: si(data.defaults.diffusivity, 'diffusivity', 'defaults', problems),
      };
      break;
    case 'aqueous-solutes':
      for (const s of data.solutes)
        out.solutes.push({
          id: s.id,
          components: s.components,
          ...(s.volume ? { volume: s.volume } : {}),
          ...(s.viscosity ? { viscosity: s.viscosity } : {}),
          ...(s.maxMassFraction === undefined ? {} : { maxMassFraction: s.maxMassFraction }),
          origin: originOf(data, s),
        });
      for (const [id, [volume, viscosity]] of Object.entries(data.additive.values))
        out.additive[id] = { volume: volume * 1e-6, viscosity: viscosity * 1e-3 };
      break;
    case 'aqueous-substances':
      for (const x of data.substances)
        out.substances.push({
          id: x.id,
          name: x.name,
          gives: x.gives,
          molarMass: si(x.molarMass, 'molarMass', x.id, problems),
          strength: x.strength ?? 1,
        });
      out.refused = data.refused;
      break;
    case 'aqueous-spectra': {
      // L/(mol cm) is 0.1 m2/mol.
      const absorptivity = Object.fromEntries(
        Object.entries(data.absorptivity).map(([id, values]) => [id, values.map((v) => 0.1 * v)]),
      );
      const { source: _source, ...observer } = data.observer;
      out.spectra = {
        start: data.start,
        step: data.step,
        absorptivity,
        uncertainty: data.uncertainty ?? 0.1,
        observer,
      };
    }
  }
}
