import { z } from 'zod';
import { choice, valueRecord, windowRecord } from './record.js';

/** Shapes of the files under `library/`, one schema a kind of document. Shape only: check.ts holds them to the rest. */

const names = z.array(z.string());

export const sourcesDocument = z.strictObject({
  document: z.literal('sources'),
  sources: z.record(
    z.string().regex(/^[a-z0-9-]+$/),
    z.strictObject({
      title: z.string(),
      authors: z.string().optional(),
      /** Journal, publisher or body, with volume and page. */
      in: z.string().optional(),
      year: z.number().int().optional(),
      kind: z.enum(['standard', 'handbook', 'paper', 'web', 'dataset', 'common-practice', 'own-estimate']),
      note: z.string().optional(),
    }),
  ),
});

export const elementsDocument = z.strictObject({
  document: z.literal('elements'),
  /** Standard atomic weight by element symbol. */
  weights: z.record(z.string().regex(/^[A-Z][a-z]?$/), choice),
});

export const metalDocument = z.strictObject({
  document: z.literal('metal'),
  id: z.string(),
  name: z.string(),
  names,
  /** Valences it deposits from, the usual one first. */
  valences: z
    .array(
      z.strictObject({
        valence: z.number().int().positive(),
        note: z.string(),
        caution: z.string().optional(),
      }),
    )
    .min(1),
  density: choice,
  /** Density of the deposit itself where it is known to differ. */
  depositDensity: choice.optional(),
});

export const speciesDocument = z.strictObject({
  document: z.literal('species'),
  species: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      charge: z.number().int(),
      diffusivity: choice,
      limitingConductivity: choice.optional(),
    }),
  ),
});

export const potentialsDocument = z.strictObject({
  document: z.literal('potentials'),
  couples: z.array(
    z.strictObject({
      id: z.string(),
      reaction: z.string(),
      electrons: z.number().int().positive(),
      potential: choice,
    }),
  ),
});

const kinetics = { document: z.literal('kinetics'), id: z.string(), title: z.string() };
const transfer = { exchangeCurrentDensity: choice, activationEnergy: choice };

export const kineticsDocument = z.discriminatedUnion('type', [
  z.strictObject({
    ...kinetics,
    type: z.literal('deposition'),
    metal: z.string(),
    couple: z.string(),
    ...transfer,
    /** Multiply F/RT. */
    cathodicTransfer: choice,
    anodicTransfer: choice,
  }),
  z.strictObject({
    ...kinetics,
    type: z.literal('hydrogen'),
    metal: z.string(),
    /** From hydrogen ions, at pH 0 and its own equilibrium potential. */
    acid: z.strictObject({ exchangeCurrentDensity: choice, transfer: choice }),
    /** From water, at its equilibrium potential in alkali of pH 14. */
    water: z.strictObject({ exchangeCurrentDensity: choice, transfer: choice }),
    activationEnergy: choice,
  }),
  z.strictObject({
    ...kinetics,
    type: z.literal('dissolution'),
    metal: z.string(),
    couple: z.string(),
    ...transfer,
    anodicTransfer: choice,
    /** Highest current density dissolution carries without chloride, and what each mol/m3 of chloride adds. */
    passivation: z.strictObject({ base: choice, perChloride: choice.optional() }),
  }),
  z.strictObject({
    ...kinetics,
    type: z.literal('gas'),
    gas: z.enum(['oxygen', 'chlorine']),
    on: z.string(),
    couple: z.string(),
    ...transfer,
    transfer: choice,
  }),
]);

export const agitationDocument = z.strictObject({
  document: z.literal('agitation'),
  levels: z.array(
    z.strictObject({
      id: z.string(),
      name: z.string(),
      names,
      /** Where it is natural convection the layer follows from the density difference and the height. */
      layer: choice.optional(),
      /** Diffusivity the layer thickness belongs to; it scales with its cube root. */
      layerDiffusivity: valueRecord.optional(),
      correlationBand: valueRecord.optional(),
    }),
  ),
});

export const benchDocument = z.strictObject({
  document: z.literal('bench'),
  /** Metals of hooks and leads. */
  conductors: z.array(
    z.strictObject({ id: z.string(), name: z.string(), names, resistivity: choice, perKelvin: choice }),
  ),
  /** Current a wire's section carries by the rule of the bench. */
  currentPerSection: windowRecord,
  /** One clip or twist. */
  contactResistance: choice,
  /** Capacitance of the electrical double layer. */
  doubleLayer: choice,
});

const refusal = z.strictObject({ reason: z.string(), who: z.string() });

export const bathDocument = z.strictObject({
  document: z.literal('bath'),
  id: z.string(),
  name: z.string(),
  names,
  metal: z.string(),
  valence: z.number().int().positive(),
  /** Set when platewright knows the name but gives no help with it. */
  refused: refusal.optional(),
  use: z.string().optional(),
  composition: z
    .array(
      z.strictObject({
        substance: z.string(),
        formula: z.string(),
        /** Components (names of the equilibrium verb) from one formula unit. */
        gives: z.record(z.string(), z.number().positive()),
        amount: windowRecord,
      }),
    )
    .optional(),
  temperature: windowRecord.optional(),
  pH: windowRecord.optional(),
  currentDensity: windowRecord.optional(),
  agitation: z.string().optional(),
  conductivity: choice.optional(),
  conductivityPerKelvin: choice.optional(),
  density: choice.optional(),
  viscosity: choice.optional(),
  diffusivity: choice.optional(),
  /** Relative density change for each mol/m3 of metal salt removed at the surface. */
  densification: choice.optional(),
  migration: choice.optional(),
  activityCoefficient: choice.optional(),
  /** Acids that feed hydrogen evolution, with how much of the component is there in all. */
  buffers: z
    .array(z.strictObject({ name: z.string(), component: z.string(), pKa: choice, diffusivity: choice }))
    .optional(),
  efficiency: choice.optional(),
  /** The efficiency above is known better than the exchange current of hydrogen, which is scaled to it. */
  calibrated: z.boolean().optional(),
  deposition: z.string().optional(),
  hydrogen: z.string().optional(),
  burning: choice.optional(),
  covering: choice.optional(),
  hydroxide: choice.optional(),
  anodes: z
    .array(
      z.strictObject({
        metal: z.string(),
        kinetics: z.string().optional(),
        advice: z.string(),
        /** Anode area over cathode area. */
        ratio: windowRecord.optional(),
      }),
    )
    .optional(),
  cautions: z.array(z.string()).optional(),
});

export const SCHEMAS = {
  sources: sourcesDocument,
  elements: elementsDocument,
  metal: metalDocument,
  species: speciesDocument,
  potentials: potentialsDocument,
  kinetics: kineticsDocument,
  agitation: agitationDocument,
  bench: benchDocument,
  bath: bathDocument,
} as const;

/** JSON Schema of each kind of document, for editors and outside tools. */
export const jsonSchemas = (): Record<string, unknown> =>
  Object.fromEntries(
    Object.entries(SCHEMAS).map(([kind, schema]) => [
      kind,
      z.toJSONSchema(schema, { io: 'input', reused: 'ref' }),
    ]),
  );

export type Source = z.infer<typeof sourcesDocument>['sources'][string];
export type Metal = z.infer<typeof metalDocument>;
export type Species = z.infer<typeof speciesDocument>['species'][number];
export type Couple = z.infer<typeof potentialsDocument>['couples'][number];
export type Kinetics = z.infer<typeof kineticsDocument>;
export type KineticsOf<T extends Kinetics['type']> = Extract<Kinetics, { type: T }>;
export type AgitationLevel = z.infer<typeof agitationDocument>['levels'][number];
export type Bench = z.infer<typeof benchDocument>;
export type Conductor = Bench['conductors'][number];
export type Bath = z.infer<typeof bathDocument>;
