import { type Parameter, parseQuantity } from '../units/index.js';
import type { Bath, KineticsOf } from './documents.js';
import { formulaMass } from './formula.js';
import { parameterOf } from './interval.js';
import type { Library } from './library.js';
import { type Choice, CONDITIONS, type Condition, chosen, type ValueRecord } from './record.js';

/** What a person may know better than the record. */
export interface BathChoice {
  /** [K] */
  temperature?: number;
  pH?: number;
  /** Metal in solution [kg/m3]; its salts are scaled to it. */
  metal?: number;
  agitation?: string;
}

/** A bath as the electrode laws see it. All amounts in mol/m3. */
export interface BathState {
  temperature: number;
  pH: number;
  /** Electrons an atom of the deposit takes. */
  electrons: number;
  /** Metal ions. */
  metal: number;
  chloride: number;
  /** Acids that feed hydrogen, each with its base. */
  buffers: readonly { name: string; total: number }[];
  agitation: string;
  /** Every component by the names of the equilibrium verb. */
  totals: ReadonlyMap<string, number>;
  /** The usual run, where the efficiency of the record holds; only for a bath that is calibrated by it. */
  reference?: {
    state: BathState;
    /** [A/m2] */
    currentDensity: number;
    /** Parameters of the usual motion of the liquid. */
    values: ReadonlyMap<string, number>;
  };
}

/** Component of the equilibrium verb that holds a metal. */
const componentOf = (metal: string): string => (metal === 'Sn' ? 'Sn(2)' : metal);
const middle = (window: { low: number; high: number; typical?: number | undefined }): number =>
  window.typical ?? (window.low + window.high) / 2;

/** A bath at its usual composition, or at what the person says of it. Not for a refused bath. */
export function bathState(library: Library, bath: Bath, choice: BathChoice = {}): BathState {
  const state = stateOf(library, bath, choice);
  if (!bath.calibrated) return state;
  const usual = stateOf(library, bath, {});
  // The same motion shares its parameters, so that moving one of them moves both runs.
  const values =
    usual.agitation === state.agitation
      ? new Map<string, number>()
      : new Map(agitationParameters(library, usual).map((p) => [p.name, p.nominal]));
  return {
    ...state,
    reference: { state: usual, currentDensity: middle(bath.currentDensity!), values },
  };
}

function stateOf(library: Library, bath: Bath, choice: BathChoice): BathState {
  const metal = componentOf(bath.metal);
  const totals = new Map<string, number>();
  const salts = (bath.composition ?? []).map(({ formula, gives, amount }) => ({
    gives,
    molarity: middle(amount) / formulaMass(library, formula),
  }));
  const usual = salts.reduce((sum, salt) => sum + salt.molarity * (salt.gives[metal] ?? 0), 0);
  const wanted = choice.metal === undefined ? usual : choice.metal / formulaMass(library, bath.metal);
  for (const { gives, molarity } of salts) {
    const scale = metal in gives ? wanted / usual : 1;
    for (const [component, count] of Object.entries(gives))
      totals.set(component, (totals.get(component) ?? 0) + scale * molarity * count);
  }
  return {
    temperature: choice.temperature ?? middle(bath.temperature!),
    pH: choice.pH ?? middle(bath.pH!),
    electrons: bath.valence,
    metal: wanted,
    chloride: totals.get('Cl') ?? 0,
    buffers: (bath.buffers ?? []).map((b) => ({ name: b.name, total: totals.get(b.component) ?? 0 })),
    agitation: choice.agitation ?? bath.agitation ?? 'still',
    totals,
  };
}

/** SI value of a condition a record holds at. */
function conditionOf(record: ValueRecord, condition: Condition): number {
  const read = parseQuantity(record.at?.[condition], CONDITIONS[condition]);
  if (!read.ok) throw new Error(`record ${record.id} does not say at which ${condition} it holds`);
  return read.value;
}

/** Collects parameters under a prefix. */
class Gathering {
  readonly list: Parameter[] = [];

  put(name: string, choice: Choice | undefined): void {
    if (choice) this.list.push(parameterOf(chosen(choice), name));
  }

  /** Takes a parameter as a mere starting value: something better known decides. */
  settle(name: string): void {
    const at = this.list.findIndex((p) => p.name === name);
    const { nominal } = this.list[at]!;
    this.list[at] = { ...this.list[at]!, low: nominal, high: nominal, distribution: 'exact' };
  }

  /** A condition of a record: known, so exact. */
  at(name: string, choice: Choice, condition: Condition): void {
    const record = chosen(choice);
    const value = conditionOf(record, condition);
    this.list.push({
      name,
      record: record.id,
      nominal: value,
      low: value,
      high: value,
      distribution: 'exact',
    });
  }
}

function agitationParameters(library: Library, state: BathState): Parameter[] {
  const gather = new Gathering();
  const level = library.agitation.get(state.agitation)!;
  gather.put('agitation.band', level.correlationBand);
  gather.put('agitation.layer', level.layer);
  gather.put('agitation.layerDiffusivity', level.layerDiffusivity);
  return gather.list;
}

const ionOf = (metal: string, charge: number): string => `${metal}+${charge === 1 ? '' : charge}`;

/**
 * Everything the laws of the part need from the records, under the names the electrode folder reads.
 *
 * @returns one entry an uncertain input; entries of distribution `exact` are conditions, not to be perturbed
 */
export function cathodeParameters(library: Library, bath: Bath, state: BathState): Parameter[] {
  const gather = new Gathering();
  const plain = ['conductivity', 'conductivityPerKelvin', 'density', 'viscosity', 'diffusivity'] as const;
  const more = [
    'densification',
    'migration',
    'activityCoefficient',
    'burning',
    'covering',
    'hydroxide',
  ] as const;
  for (const name of [...plain, ...more]) gather.put(`bath.${name}`, bath[name]);
  for (const name of ['conductivity', 'viscosity', 'diffusivity'] as const)
    gather.at(`bath.${name}Temperature`, bath[name]!, 'temperature');
  for (const buffer of bath.buffers ?? []) {
    gather.put(`buffer.${buffer.name}.pKa`, buffer.pKa);
    gather.put(`buffer.${buffer.name}.diffusivity`, buffer.diffusivity);
  }
  const ions = { metal: ionOf(bath.metal, bath.valence), hydrogen: 'H+', hydroxide: 'OH-' };
  for (const [name, id] of Object.entries(ions))
    gather.put(`ion.${name}.diffusivity`, library.species.get(id)!.diffusivity);

  gather.list.push(...agitationParameters(library, state));

  const deposition = library.kinetics.get(bath.deposition!) as KineticsOf<'deposition'>;
  reaction(gather, 'deposition', deposition);
  gather.at('deposition.concentration', deposition.exchangeCurrentDensity, 'concentration');
  gather.put('deposition.cathodic', deposition.cathodicTransfer);
  gather.put('deposition.anodic', deposition.anodicTransfer);
  gather.put('deposition.potential', library.couples.get(deposition.couple)!.potential);

  const hydrogen = library.kinetics.get(bath.hydrogen!) as KineticsOf<'hydrogen'>;
  for (const from of ['acid', 'water'] as const) {
    gather.put(`hydrogen.${from}.exchange`, hydrogen[from].exchangeCurrentDensity);
    gather.put(`hydrogen.${from}.transfer`, hydrogen[from].transfer);
  }
  if (bath.calibrated) {
    gather.put('bath.efficiency', bath.efficiency);
    gather.settle('hydrogen.acid.exchange');
  }
  gather.put('hydrogen.energy', hydrogen.activationEnergy);
  gather.at('hydrogen.temperature', hydrogen.acid.exchangeCurrentDensity, 'temperature');
  return gather.list;
}

/**
 * Everything the law of an anode needs, under `anode.` names.
 *
 * @param metal what the anode is made of; one the bath has no dissolution for is taken as inert
 */
export function anodeParameters(library: Library, bath: Bath, metal: string): Parameter[] {
  const gather = new Gathering();
  const listed = bath.anodes?.find((a) => a.metal === metal);
  const dissolution =
    listed?.kinetics && (library.kinetics.get(listed.kinetics) as KineticsOf<'dissolution'>);
  if (dissolution) {
    reaction(gather, 'anode', dissolution);
    gather.at('anode.concentration', dissolution.exchangeCurrentDensity, 'concentration');
    gather.put('anode.anodic', dissolution.anodicTransfer);
    gather.put('anode.potential', library.couples.get(dissolution.couple)!.potential);
    gather.put('anode.passiveBase', dissolution.passivation.base);
    gather.put('anode.passivePerChloride', dissolution.passivation.perChloride);
  }
  for (const gas of ['oxygen', 'chlorine'] as const) {
    const kinetics = library.kinetics.get(`${gas}.${dissolution ? 'passive' : 'inert'}`) as KineticsOf<'gas'>;
    reaction(gather, `anode.${gas}`, kinetics);
    gather.put(`anode.${gas}.transfer`, kinetics.transfer);
    gather.put(`anode.${gas}.potential`, library.couples.get(kinetics.couple)!.potential);
  }
  gather.put('ion.chloride.diffusivity', library.species.get('Cl-')!.diffusivity);
  return gather.list;
}

function reaction(
  gather: Gathering,
  name: string,
  kinetics: { exchangeCurrentDensity: Choice; activationEnergy: Choice },
): void {
  gather.put(`${name}.exchange`, kinetics.exchangeCurrentDensity);
  gather.put(`${name}.energy`, kinetics.activationEnergy);
  gather.at(`${name}.temperature`, kinetics.exchangeCurrentDensity, 'temperature');
}
