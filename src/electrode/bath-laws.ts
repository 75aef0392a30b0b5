import { type Anode, anode, chlorinePotential, type GasKinetics, oxygenPotential } from './anode.js';
import { arrhenius, type Cathode, type CathodeModel, cathode } from './cathode.js';
import { metalReaction, nernst } from './deposition.js';
import { hydrogenEvolution, type ProtonSource } from './hydrogen.js';
import {
  diffusionLayer,
  limitingCurrent,
  naturalConvection,
  stokesEinstein,
  type Transfer,
} from './mass-transfer.js';
import { restBetween } from './surface-law.js';
import { waterIonProduct } from './water.js';

/**
 * From a bath and a set of parameter values to the laws of its surfaces. The parameters come by name, so that a forecast
 * can move any one of them and build the laws again. docs/theory/electrode.md#parameters lists the names.
 */

/** What is certain enough not to be a parameter. Amounts in mol/m3. */
export interface BathState {
  temperature: number;
  pH: number;
  electrons: number;
  metal: number;
  chloride: number;
  buffers: readonly { name: string; total: number }[];
  /** `still` for natural convection; any other word takes the layer of that level. */
  agitation: string;
  /** Where the efficiency of the bath's record holds; see `bathCathode`. */
  reference?: Reference;
}

/** The usual run of a bath, and the layer its motion leaves where that differs from the one at hand. */
export interface Reference {
  state: BathState;
  /** Total cathode current density [A/m2]. */
  currentDensity: number;
  /** Replaces the parameters of the same names. */
  values: Values;
}

export interface Surroundings {
  /** Height of the surface in the liquid [m]: how far rising liquid runs along it. */
  height: number;
  /** Viscosity of water [Pa s] at a temperature [K]. */
  waterViscosity(temperature: number): number;
}

/** Values of parameters by name, SI. */
export type Values = ReadonlyMap<string, number>;

const ROOM = 298.15;

function reading(values: Values) {
  return (name: string): number => {
    const value = values.get(name);
    if (value === undefined) throw new Error(`parameter ${name} was not given`);
    return value;
  };
}

/** How ions reach a surface in this bath: the metal's own coefficient and a way to that of any other ion. */
export function bathTransfer(state: BathState, values: Values, around: Surroundings) {
  const get = reading(values);
  const { temperature } = state;
  const { waterViscosity } = around;
  const at = (diffusivity: number, from: number) =>
    stokesEinstein(diffusivity, from, temperature, waterViscosity);
  const metal = at(get('bath.diffusivity'), get('bath.diffusivityTemperature'));
  // Salt slows every ion; the metal's own slowing stands for all. It cannot speed them up.
  const slowing = Math.min(1, metal / at(get('ion.metal.diffusivity'), ROOM));
  const viscosity =
    (get('bath.viscosity') * waterViscosity(temperature)) / waterViscosity(get('bath.viscosityTemperature'));
  const rising = naturalConvection({
    height: around.height,
    diffusivity: metal,
    kinematicViscosity: viscosity / get('bath.density'),
    densityDifference: get('bath.densification') * state.metal,
  });
  const transfer =
    state.agitation === 'still'
      ? { ...rising, coefficient: rising.coefficient * get('agitation.band') }
      : joined(rising, diffusionLayer(get('agitation.layer'), get('agitation.layerDiffusivity'), metal));
  return {
    metal: transfer,
    diffusivity: metal,
    /** Coefficient [m/s] of another species from its diffusivity at 25 C in water: k goes as D^2/3. */
    of: (diffusivity: number) =>
      transfer.coefficient * ((at(diffusivity, ROOM) * slowing) / metal) ** (2 / 3),
  };
}

/**
 * Liquid that rises by itself and liquid that is moved: the cubes of the coefficients add (Churchill, AIChE J. 23 (1977) 10,
 * from memory). Moving a liquid never makes it carry less.
 */
const joined = (rising: Transfer, moved: Transfer): Transfer => ({
  ...moved,
  coefficient: Math.cbrt(rising.coefficient ** 3 + moved.coefficient ** 3),
});

/**
 * The law of the part in a bath: deposition and hydrogen with their limits.
 *
 * Where `bath.efficiency` is among the values, what is known of the bath is its efficiency in the usual run, far better
 * than the exchange current of hydrogen. That exchange current is then scaled until the usual run has that efficiency, and
 * the laws carry it to other places, currents, temperatures and pH.
 */
export function bathCathode(state: BathState, values: Values, around: Surroundings): Cathode {
  const model = cathodeModel(state, values, around);
  const efficiency = values.get('bath.efficiency');
  if (efficiency === undefined || !state.reference) return cathode(model);
  const scale = hydrogenScale(state.reference, values, around, efficiency);
  const { hydrogen } = model;
  return cathode({ ...model, hydrogen: { ...hydrogen, acidExchange: hydrogen.acidExchange * scale } });
}

/** Widest scaling of the hydrogen exchange current that is tried, either way: what transport forbids is not forced. */
const SCALE_REACH = 1e6;

/** Factor on the exchange current of hydrogen that gives the usual run an efficiency, by bisection in its logarithm. */
function hydrogenScale(
  reference: Reference,
  values: Values,
  around: Surroundings,
  efficiency: number,
): number {
  const model = cathodeModel(reference.state, new Map([...values, ...reference.values]), around);
  const { hydrogen, temperature } = model;
  const metal = metalReaction(model.metal, temperature);
  // At the potential where the metal carries its share, hydrogen should carry the rest.
  const target = -reference.currentDensity * Math.min(Math.max(efficiency, 1e-3), 1 - 1e-6);
  const potential = restBetween(
    (e) => metal(e)[0] - target,
    model.metal.equilibrium - 3,
    model.metal.equilibrium,
  );
  const wanted = reference.currentDensity + target;
  let [low, high] = [-Math.log(SCALE_REACH), Math.log(SCALE_REACH)];
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    const scaled = { ...hydrogen, acidExchange: hydrogen.acidExchange * Math.exp(middle) };
    if (hydrogenEvolution(scaled, model.protons, temperature)(potential).current > wanted) high = middle;
    else low = middle;
  }
  return Math.exp((low + high) / 2);
}

function cathodeModel(state: BathState, values: Values, around: Surroundings): CathodeModel {
  const get = reading(values);
  const { temperature, electrons, metal } = state;
  const transfer = bathTransfer(state, values, around);
  const rate = (name: string) => get(`${name}.exchange`) * warming(name);
  const warming = (name: string) => arrhenius(get(`${name}.energy`), get(`${name}.temperature`), temperature);
  const cathodic = get('deposition.cathodic');
  const equilibrium = nernst(
    get('deposition.potential'),
    electrons,
    temperature,
    metal,
    get('bath.activityCoefficient'),
  );
  const buffers = state.buffers.map(
    ({ name, total }): ProtonSource => ({
      total,
      acidConstant: 1000 * 10 ** -get(`buffer.${name}.pKa`),
      coefficient: transfer.of(get(`buffer.${name}.diffusivity`)),
    }),
  );
  return {
    temperature,
    metal: {
      equilibrium,
      // Discharge is first order in the metal ion at a given potential, so at equilibrium it goes as c^(1 - a/z).
      exchange: rate('deposition') * (metal / get('deposition.concentration')) ** (1 - cathodic / electrons),
      cathodic,
      anodic: get('deposition.anodic'),
      limit: limitingCurrent(electrons, transfer.metal.coefficient, metal, get('bath.migration')),
      passivation: Number.POSITIVE_INFINITY,
    },
    hydrogen: {
      acidExchange: get('hydrogen.acid.exchange') * warming('hydrogen'),
      acidTransfer: get('hydrogen.acid.transfer'),
      waterExchange: get('hydrogen.water.exchange') * warming('hydrogen'),
      waterTransfer: get('hydrogen.water.transfer'),
    },
    protons: {
      bulk: 1000 * 10 ** -state.pH,
      ionProduct: waterIonProduct(temperature),
      hydrogenIon: transfer.of(get('ion.hydrogen.diffusivity')),
      hydroxide: transfer.of(get('ion.hydroxide.diffusivity')),
      buffers,
    },
  };
}

/** The law of an anode in a bath. Without `anode.exchange` among the values it is inert. */
export function bathAnode(state: BathState, values: Values, around: Surroundings): Anode {
  const get = reading(values);
  const { temperature, electrons, metal, chloride, pH } = state;
  const transfer = bathTransfer(state, values, around);
  const gas = (name: string, equilibrium: number, limit: number): GasKinetics => ({
    equilibrium,
    exchange:
      get(`anode.${name}.exchange`) *
      arrhenius(get(`anode.${name}.energy`), get(`anode.${name}.temperature`), temperature),
    transfer: get(`anode.${name}.transfer`),
    limit,
  });
  const oxygen = gas(
    'oxygen',
    oxygenPotential(get('anode.oxygen.potential'), temperature, pH),
    Number.POSITIVE_INFINITY,
  );
  const chlorine =
    chloride > 0
      ? gas(
          'chlorine',
          chlorinePotential(get('anode.chlorine.potential'), temperature, chloride / 1000),
          limitingCurrent(1, transfer.of(get('ion.chloride.diffusivity')), chloride),
        )
      : undefined;
  const gases = { temperature, oxygen, ...(chlorine && { chlorine }) };
  if (!values.has('anode.exchange')) return anode(gases);
  const anodic = get('anode.anodic');
  const cathodic = Math.max(electrons - anodic, 0.1);
  return anode({
    ...gases,
    metal: {
      equilibrium: nernst(
        get('anode.potential'),
        electrons,
        temperature,
        metal,
        get('bath.activityCoefficient'),
      ),
      exchange:
        get('anode.exchange') *
        arrhenius(get('anode.energy'), get('anode.temperature'), temperature) *
        (metal / get('anode.concentration')) ** (1 - cathodic / electrons),
      cathodic,
      anodic,
      limit: Number.POSITIVE_INFINITY,
      passivation: get('anode.passiveBase') + (values.get('anode.passivePerChloride') ?? 0) * chloride,
    },
  });
}

/** Conductivity [S/m] at the temperature of the bath: the record's, moved by its rise a kelvin. */
export function bathConductivity(state: BathState, values: Values): number {
  const get = reading(values);
  const warmer = state.temperature - get('bath.conductivityTemperature');
  return get('bath.conductivity') * Math.exp(get('bath.conductivityPerKelvin') * warmer);
}
