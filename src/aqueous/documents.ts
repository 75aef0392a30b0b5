import { z } from 'zod';

/**
 * Shapes of the files under `library/species/aqueous/`. A file states source, kind and uncertainty once for its table;
 * an entry states them again where it differs.
 */

export const kind = z.enum(['measured', 'fitted', 'estimated', 'assumed', 'recommended']);
const origin = { source: z.string(), kind, uncertainty: z.number().positive().optional() };
const own = {
  source: z.string().optional(),
  kind: kind.optional(),
  uncertainty: z.number().optional(),
  place: z.string().optional(),
};
const amounts = z.record(z.string(), z.number());
const energy = z.string();

const componentsDocument = z.strictObject({
  document: z.literal('aqueous-components'),
  ...origin,
  components: z.array(
    z.strictObject({
      id: z.string(),
      species: z.string(),
      name: z.string(),
      charge: z.number().int(),
      molarMass: z.string(),
      formula: z.string(),
      ...own,
    }),
  ),
});

const constant = {
  /** log10 of the constant at 25 C and zero ionic strength. */
  logK: z.number(),
  /** Enthalpy of the reaction, text with unit, or `unknown`: then the constant is used unchanged at other temperatures. */
  enthalpy: energy.optional(),
  analytic: z
    .strictObject({ coefficients: z.array(z.number()).length(6), source: z.string(), place: z.string() })
    .optional(),
};

const speciesDocument = z.strictObject({
  document: z.literal('aqueous-species'),
  ...origin,
  species: z.array(
    z.strictObject({
      id: z.string(),
      components: amounts,
      ...constant,
      salting: z.number().optional(),
      ...own,
    }),
  ),
});

const solidsDocument = z.strictObject({
  document: z.literal('aqueous-solids'),
  ...origin,
  solids: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      components: amounts,
      ...constant,
      form: z.enum(['fresh', 'aged']),
      ...own,
    }),
  ),
});

const interactionsDocument = z.strictObject({
  document: z.literal('aqueous-interactions'),
  ...origin,
  interactions: z.array(
    z.strictObject({
      pair: z.tuple([z.string(), z.string()]),
      epsilon: z.number(),
      slope: z.number().optional(),
      ...own,
    }),
  ),
  estimates: z.strictObject({ ...origin, byCharge: z.record(z.string(), z.number()) }),
});

const mobilitiesDocument = z.strictObject({
  document: z.literal('aqueous-mobilities'),
  ...origin,
  ions: z.array(
    z.strictObject({
      id: z.string(),
      /** Diffusion coefficient at 25 C at infinite dilution, text with unit. */
      diffusivity: z.string(),
      /** D = D25 (T/298.15) (viscosity of water at 25 C / at T)^walden exp(warmth/T - warmth/298.15), warmth in K. */
      walden: z.number().optional(),
      warmth: z.number().optional(),
      /** Radius in the interionic terms [nm] and exponent of the relative viscosity. */
      size: z.number().optional(),
      drag: z.number().optional(),
      /** Moves by handing protons on: what is neutral in the way obstructs it. */
      hops: z.boolean().optional(),
      ...own,
    }),
  ),
  defaults: z.strictObject({
    ...origin,
    size: z.number(),
    drag: z.number(),
    walden: z.number(),
    warmth: z.number(),
    /** Diffusion coefficient of a species without its own, by the size of its charge. */
    diffusivity: z.string(),
  }),
});

const solutesDocument = z.strictObject({
  document: z.literal('aqueous-solutes'),
  ...origin,
  solutes: z.array(
    z.strictObject({
      id: z.string(),
      /** Components of one formula unit. */
      components: amounts,
      /** c0..c4 of the apparent specific volume and v1..v6 of the viscosity (Laliberte), with the range of the fit. */
      volume: z.array(z.number()).length(5).optional(),
      viscosity: z.array(z.number()).length(6).optional(),
      maxMassFraction: z.number().optional(),
      ...own,
    }),
  ),
  /** Partial molar volume at infinite dilution [cm3/mol] and viscosity B [L/mol] of an ion or neutral species, by component. */
  additive: z.strictObject({ ...origin, values: z.record(z.string(), z.tuple([z.number(), z.number()])) }),
});

const substancesDocument = z.strictObject({
  document: z.literal('aqueous-substances'),
  ...origin,
  substances: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      gives: amounts,
      molarMass: z.string(),
      strength: z.number().optional(),
      ...own,
    }),
  ),
  refused: z.array(z.strictObject({ match: z.array(z.string()), reason: z.string() })),
});

const series = z.array(z.number());
const spectraDocument = z.strictObject({
  document: z.literal('aqueous-spectra'),
  ...origin,
  /** First wavelength and step of the absorptivities [nm]; absorptivities [L/(mol cm)] by component. */
  start: z.number(),
  step: z.number(),
  absorptivity: z.record(z.string(), series),
  observer: z.strictObject({
    source: z.string(),
    start: z.number(),
    step: z.number(),
    x: series,
    y: series,
    z: series,
    d65: series,
  }),
});

export const AQUEOUS_DOCUMENTS = {
  'aqueous-components': componentsDocument,
  'aqueous-species': speciesDocument,
  'aqueous-solids': solidsDocument,
  'aqueous-interactions': interactionsDocument,
  'aqueous-mobilities': mobilitiesDocument,
  'aqueous-solutes': solutesDocument,
  'aqueous-substances': substancesDocument,
  'aqueous-spectra': spectraDocument,
} as const;

export type Doc<K extends keyof typeof AQUEOUS_DOCUMENTS> = z.infer<(typeof AQUEOUS_DOCUMENTS)[K]>;
