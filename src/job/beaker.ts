import {
  type AqueousRecords,
  type BeakerRun,
  type BeakerSetup,
  type Electrodes,
  runBeaker,
  waterViscosity,
} from '../aqueous/index.js';
import { bathAnode, bathCathode } from '../electrode/index.js';
import {
  anodeParameters,
  type Bath,
  bathState,
  cathodeParameters,
  findBath,
  type Library,
} from '../library/index.js';
import { done, type Outcome, type Parameter, type Problem, refused } from '../units/index.js';
import { bands, movedValues, type Swing, type Values } from './band.js';
import type { Band } from './result.js';

/** A bath to be made by dissolving its metal, joined from the beaker, the electrode laws and the library. */
export interface BeakerAsk {
  /** Bath whose kinetics hold, e.g. `acetate-nickel`. */
  bath: string;
  anode: string;
  /** `still` or a level of the library. */
  agitation: string;
  /** Height of the electrodes in the liquid [m]. */
  height: number;
  setup: Omit<BeakerSetup, 'metal' | 'electrons'>;
  /** [s] */
  duration: number;
}

export interface BeakerForecast {
  run: BeakerRun;
  /** At the end: metal [kg/m3], temperature [K], pH, current [A], with the inputs that make the band. */
  band: Record<Output, Band>;
  /** Changes that were tried, with the metal [kg/m3] they would give in the same time. */
  helps: { change: string; metal: number }[];
  records: string[];
}

const OUTPUTS = ['metal', 'temperature', 'pH', 'total', 'voltage'] as const;
type Output = (typeof OUTPUTS)[number];

/** Metals of an anode that must never be one, and why. */
const NEVER: [RegExp, string][] = [
  [
    /stainless|inox|v2a|v4a|304|316/i,
    'Stainless steel as an anode gives hexavalent chromium, which causes cancer and may not go down any drain.',
  ],
  [/chrom/i, 'Chromium as an anode gives hexavalent chromium, which causes cancer.'],
  [/lead|solder/i, 'Lead and solder poison the bath and you.'],
];

/** Parameters that matter to metal gained, moved one at a time for the band. */
const MOVED = [
  'deposition.exchange',
  'deposition.cathodic',
  'hydrogen.acid.exchange',
  'hydrogen.acid.transfer',
  'agitation.band',
  'agitation.layer',
  'bath.diffusivity',
  'anode.exchange',
  'anode.passiveBase',
  'anode.passivePerChloride',
  'anode.chlorine.exchange',
];

/** Error of a step: of the forecast, and of the many runs behind its band. */
const FINE = 1e-7;
const ROUGH = 1e-4;

/** Parameters of the beaker itself: the path between the electrodes and what the walls lose are guesses. */
const OWN: Parameter[] = [
  {
    name: 'beaker.path',
    record: 'judgement',
    nominal: 1,
    low: 1 / 1.3,
    high: 1.3,
    distribution: 'lognormal',
  },
  {
    name: 'beaker.heatLoss',
    record: 'judgement',
    nominal: 1,
    low: 1 / 1.5,
    high: 1.5,
    distribution: 'lognormal',
  },
];

/** Metal, temperature and pH of the beaker in time, with bands and what would help. */
export function forecastBeaker(
  ask: BeakerAsk,
  library: Library,
  records: AqueousRecords,
): Outcome<BeakerForecast> {
  const never = NEVER.find(([name]) => name.test(ask.anode));
  if (never)
    return refused({
      code: 'anode-forbidden',
      path: 'anode',
      message: `An anode of ${ask.anode} is refused. ${never[1]}`,
      hint: 'Use the metal of the bath, sold as an anode.',
    });
  const found = findBath(library, ask.bath, 'bath');
  if (!found.ok) return found;
  const bath = found.value;
  const problems = check(ask);
  if (problems.length > 0) return refused(...problems);
  const parameters = [
    ...cathodeParameters(library, bath, bathState(library, bath, { agitation: ask.agitation })),
    ...anodeParameters(library, bath, ask.anode),
    ...OWN,
  ];
  const setup: BeakerSetup = { ...ask.setup, metal: bath.metal, electrons: bath.valence };
  const at = (values: Values, change: Partial<BeakerSetup> = {}, tolerance = ROUGH): BeakerRun => {
    const moved = moveSetup({ ...setup, ...change }, values);
    return runBeaker(
      moved,
      ask.duration,
      records,
      electrodesOf(bath, library, ask, moved, values),
      tolerance,
    );
  };
  const nominal = movedValues(parameters);
  const run = at(nominal, {}, FINE);
  if (run.status === 'failed') return done({ run, band: bands(outputs(run), []), helps: [], records: [] });
  const swings: Swing<Output>[] = parameters
    .filter((p) => (MOVED.includes(p.name) || OWN.includes(p)) && p.distribution !== 'exact')
    .map((parameter) => ({
      parameter,
      low: outputs(at(movedValues(parameters, parameter, -1.645))),
      high: outputs(at(movedValues(parameters, parameter, 1.645))),
    }));
  return done({
    run,
    band: bands(outputs(run), swings),
    helps: helpsOf(setup, (change) => lastMetal(at(nominal, change))),
    records: parameters.map((p) => p.record),
  });
}

function check(ask: BeakerAsk): Problem[] {
  const out: Problem[] = [];
  const positive = (value: number, path: string, hint: string): void => {
    if (!(value > 0)) out.push({ code: 'not-positive', path, message: `${path} is ${value}.`, hint });
  };
  positive(ask.duration, 'duration', 'e.g. 90 min');
  positive(ask.setup.water, 'water', 'e.g. 240 g');
  positive(ask.setup.anodeArea, 'anodeArea', 'the wetted area, both sides');
  positive(ask.setup.cathodeArea, 'cathodeArea', 'the wetted area, both sides');
  positive(ask.setup.cellConstant, 'cellConstant', 'the gap over the area');
  if ('voltage' in ask.setup.drive && !(ask.setup.drive.voltage >= 0 && ask.setup.drive.voltage <= 30))
    out.push({
      code: 'voltage-range',
      path: 'voltage',
      message: `${ask.setup.drive.voltage} V is not a bench voltage.`,
      hint: '0 to 30 V.',
    });
  return out;
}

const moveSetup = (setup: BeakerSetup, values: Values): BeakerSetup => ({
  ...setup,
  cellConstant: setup.cellConstant * values.get('beaker.path')!,
  surroundings: {
    ...setup.surroundings,
    heatLoss: setup.surroundings.heatLoss * values.get('beaker.heatLoss')!,
  },
});

/** The library's laws for the liquid of the moment; every buffer of the bath is fed by its own component. */
function electrodesOf(
  bath: Bath,
  library: Library,
  ask: BeakerAsk,
  setup: BeakerSetup,
  values: Values,
): Electrodes {
  const usual = bathState(library, bath, {});
  const around = { height: Math.max(ask.height, 1e-3), waterViscosity };
  const components = new Map((bath.buffers ?? []).map((b) => [b.name, b.component]));
  return (liquid) => {
    const state = {
      temperature: liquid.temperature,
      pH: liquid.pH,
      electrons: bath.valence,
      metal: liquid.metal,
      chloride: liquid.chloride,
      buffers: usual.buffers.map(({ name }) => ({
        name,
        total: liquid.concentration[components.get(name)!] ?? 0,
      })),
      agitation: ask.agitation,
    };
    const atCathode = Math.max(liquid.metal * setup.metalAtCathode, 1e-3);
    return {
      anode: bathAnode(state, values, around),
      cathode: bathCathode({ ...state, metal: atCathode }, values, around),
    };
  };
}

const outputs = (run: BeakerRun): Record<Output, number> => {
  const last = run.points.at(-1);
  return Object.fromEntries(OUTPUTS.map((k) => [k, last?.[k] ?? Number.NaN])) as Record<Output, number>;
};
const lastMetal = (run: BeakerRun): number => run.points.at(-1)?.metal ?? Number.NaN;

/** More acid, salt, anode, warmth or current, less cathode, a porous wall: each alone. */
function helpsOf(
  setup: BeakerSetup,
  metal: (change: Partial<BeakerSetup>) => number,
): BeakerForecast['helps'] {
  const { amounts, drive, surroundings } = setup;
  const acid = amounts.acetate === undefined ? {} : { amounts: { ...amounts, acetate: 2 * amounts.acetate } };
  const salt =
    amounts.Na === undefined || amounts.Cl === undefined
      ? {}
      : { amounts: { ...amounts, Na: 2 * amounts.Na, Cl: 2 * amounts.Cl } };
  const more =
    'current' in drive
      ? { drive: { current: 2 * drive.current } }
      : { drive: { voltage: 1.5 * drive.voltage } };
  const warm = {
    temperature: setup.temperature + 20,
    surroundings: { ...surroundings, temperature: surroundings.temperature + 20 },
  };
  const list: [string, Partial<BeakerSetup>][] = [
    ['acid of twice the strength', acid],
    ['a cathode of a quarter of the size', { cathodeArea: setup.cathodeArea / 4 }],
    ['the cathode behind a porous wall', { metalAtCathode: 0.1 * setup.metalAtCathode }],
    ['twice the salt', salt],
    ['an anode of twice the size', { anodeArea: 2 * setup.anodeArea }],
    ['20 K warmer', warm],
    ['current' in drive ? 'twice the current' : 'half as much voltage again', more],
  ];
  return list.map(([change, part]) => ({ change, metal: metal(part) })).sort((a, b) => b.metal - a.metal);
}
