import { waterViscosity } from '../aqueous/index.js';
import {
  type Anode,
  bathAnode,
  bathCathode,
  bathConductivity,
  burningCurrentDensity,
  type Cathode,
  coveringCurrentDensity,
  type Deposit,
  type SurfaceLaw,
  tabulated,
} from '../electrode/index.js';
import type { Law } from '../field/index.js';
import {
  anodeParameters,
  type Bath,
  type BathState,
  bathState,
  cathodeParameters,
  checkBathChoice,
  chosen,
  findBath,
  findMetal,
  type Library,
} from '../library/index.js';
import { done, type Outcome, type Parameter, type Problem, refused } from '../units/index.js';
import { movedValues, type Values } from './band.js';
import type { Job } from './schema.js';

/** The bath and its electrodes as the job has them: what is certain, and what is only known within a band. */
export interface Chemistry {
  bath: Bath;
  metal: { id: string; name: string; deposit: Deposit };
  state: BathState;
  /** Metal of each anode of the job, as the library names it; `inert` for one that does not dissolve. */
  anodeMetals: string[];
  /** Every uncertain input. Names of anode parameters carry the metal: `Ni anode.exchange`. */
  parameters: Parameter[];
  /** Laws for one set of parameter values; `height` is that of the part in the liquid [m]. */
  laws(values: Values, height: number): Laws;
}

export interface Laws {
  conductivity: number;
  cathode: Cathode;
  /** By metal. */
  anodes: ReadonlyMap<string, Anode>;
  /** Total current density [A/m2] from which a deposit burns, and below which the surface stays bare. */
  burning: number;
  covering: number;
  /** Share of the limiting current that `burning` stands for, for the story; surface pH counts too. */
  burningShare: number;
  /** Total metal in solution [mol/m3]. */
  metal: number;
}

/** Parameters the job itself brings, by name. */
export const OWN = { area: 'part.area', metal: 'bath.metal', supply: 'supply.current' } as const;

const own = (name: string, nominal: number, factor: number, record: string): Parameter => ({
  name,
  record,
  nominal,
  low: nominal / factor,
  high: nominal * factor,
  distribution: factor > 1 ? 'lognormal' : 'exact',
});

/** Looks up everything the job names. */
export function chemistryOf(job: Job, library: Library): Outcome<Chemistry> {
  const found = findBath(library, job.bath.record, 'bath.record');
  if (!found.ok) return found;
  const bath = found.value;
  const metal = library.metals.get(bath.metal)!;
  const { temperature, pH, agitation, metal: content } = job.bath;
  const choice = {
    ...(temperature !== undefined && { temperature }),
    ...(pH !== undefined && { pH }),
    ...(agitation !== undefined && { agitation }),
  };
  const known = { ...choice, ...(content !== undefined && { metal: content }) };
  const sane = checkBathChoice(library, bath, known, 'bath');
  if (!sane.ok) return sane;
  const state = bathState(library, bath, known);
  const anodes = job.anodes.map((a, i) => anodeMetal(library, bath, a.metal, `anodes[${i}].metal`));
  const problems = anodes.flatMap((a) => (a.ok ? [] : a.problems));
  if (problems.length) return refused(...problems);
  const anodeMetals = anodes.map((a) => (a.ok ? a.value : ''));

  const molarMass = chosen(library.weights.get(bath.metal)!).value;
  const kilograms = state.metal * molarMass;
  const parameters = [
    ...conductivityOf(job, cathodeParameters(library, bath, state)),
    ...[...new Set(anodeMetals)].flatMap((name) =>
      anodeParameters(library, bath, name).map((p) => ({ ...p, name: `${name} ${p.name}` })),
    ),
    metalContent(bath, kilograms, content),
    own(OWN.area, 1, 1 + (job.part.areaUncertainty ?? AREA_DOUBT), 'job.area'),
    own(OWN.supply, 1, 1 + (job.supply?.currentAccuracy ?? SUPPLY_DOUBT), 'job.supply'),
  ];
  const deposit = {
    molarMass,
    density: chosen(metal.depositDensity ?? metal.density).value,
    valence: bath.valence,
  };
  return done(
    {
      bath,
      metal: { id: bath.metal, name: metal.name, deposit },
      state,
      anodeMetals,
      parameters,
      laws: (values, height) => {
        const now = bathState(library, bath, { ...choice, metal: values.get(OWN.metal)! });
        const around = { height: Math.max(height, 1e-3), waterViscosity };
        const cathode = bathCathode(now, values, around);
        const hydroxide = values.get('bath.hydroxide');
        const sound = {
          burning: values.get('bath.burning')!,
          covering: values.get('bath.covering')!,
          ...(hydroxide !== undefined && { hydroxide }),
        };
        return {
          conductivity: bathConductivity(now, values),
          cathode,
          anodes: new Map(
            [...new Set(anodeMetals)].map((name) => [name, bathAnode(now, ofAnode(values, name), around)]),
          ),
          burning: burningCurrentDensity(cathode, sound),
          covering: coveringCurrentDensity(cathode, sound.covering),
          burningShare: sound.burning,
          metal: now.metal,
        };
      },
    },
    sane.warnings,
  );
}

/** How far a drawn or scanned surface is from the true one when the person says nothing (judgement, no source). */
const AREA_DOUBT = 0.05;
/** How far a bench supply's ammeter may be off when the person says nothing (practice: 0.03 to 0.5 % and some counts). */
const SUPPLY_DOUBT = 0.02;
/** How far the metal in a bath may be off when the person gives a figure (judgement, no source). */
const CONTENT_DOUBT = 0.1;

/** The person's own conductivity replaces the record's. */
function conductivityOf(job: Job, list: Parameter[]): Parameter[] {
  const measured = job.bath.conductivity;
  if (measured === undefined) return list;
  const temperature =
    job.bath.temperature ?? list.find((p) => p.name === 'bath.conductivityTemperature')!.nominal;
  return list.map((p) => {
    if (p.name === 'bath.conductivity') return own(p.name, measured, 1.05, 'job.conductivity');
    if (p.name === 'bath.conductivityTemperature') return own(p.name, temperature, 1, 'job.conductivity');
    return p;
  });
}

/** Metal in solution [kg/m3]: the person's figure, or the window the record allows. */
function metalContent(bath: Bath, nominal: number, given: number | undefined): Parameter {
  if (given !== undefined) return own(OWN.metal, given, 1 + CONTENT_DOUBT, 'job.metal');
  const salt = bath.composition?.find((s) => bath.metal in s.gives);
  if (!salt) return own(OWN.metal, nominal, 1 + CONTENT_DOUBT, `bath.${bath.id}`);
  const { low, high, typical = (low + high) / 2, id } = salt.amount;
  return {
    name: OWN.metal,
    record: id,
    nominal,
    low: (nominal * Math.min(low, 0.97 * typical)) / typical,
    high: (nominal * Math.max(high, 1.03 * typical)) / typical,
    distribution: 'lognormal',
  };
}

function anodeMetal(library: Library, bath: Bath, typed: string, path: string): Outcome<string> {
  if (/^(inert|insoluble|platinised titanium|graphite|carbon)$/i.test(typed.trim())) return done('inert');
  if (/stainless/i.test(typed))
    return refused<string>({
      code: 'anode-refused',
      path,
      message: `A stainless steel anode dissolves into chromium(VI), nickel and iron: about 0.1 g of chromium an ampere-hour.`,
      hint: `Use ${bath.anodes?.[0]?.metal ?? bath.metal} instead. Chromium(VI) is for licensed plants only.`,
    });
  const found = findMetal(library, typed, path);
  if (!found.ok) return found;
  const { id, name } = found.value;
  if (bath.anodes?.some((a) => a.metal === id)) return done(id);
  const problem: Problem = {
    code: 'anode-does-not-fit',
    path,
    message: `A ${name} anode does not belong in ${bath.name}: its metal would go into the bath and the deposit.`,
    hint: `This bath takes ${(bath.anodes ?? []).map((a) => a.metal).join(' or ')}.`,
  };
  return refused(problem);
}

/** The values an anode of a metal reads: its own under plain names, those of other anodes left out. */
function ofAnode(values: Values, metal: string): Values {
  const prefix = `${metal} `;
  const plain = [...values].filter(([name]) => !name.includes(' anode.') && !name.includes(' ion.'));
  const mine = [...values].filter(([name]) => name.startsWith(prefix));
  return new Map([...plain, ...mine.map(([name, value]) => [name.slice(prefix.length), value] as const)]);
}

export const nominalValues = (chemistry: Chemistry): Values => movedValues(chemistry.parameters);

/** A surface law as the field engine takes it, read from a table because it asks a million times. */
export function fieldLaw(law: SurfaceLaw): Law {
  return { kind: 'curve', curve: tabulated(law, -2.5, 2.5), equilibriumPotential: law.restPotential };
}
