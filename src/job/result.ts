import type { Problem } from '../units/index.js';

/** A 90 % band around a headline number, in the unit of that number. */
export interface Band {
  low: number;
  high: number;
  /** Share of outcomes the band is meant to hold, 0.9. */
  level: number;
  /** Which uncertain input makes how much of the band's variance, largest first; shares sum to 1. */
  shares: { input: string; record?: string; share: number }[];
}

/** One record a forecast used. */
export interface RecordUse {
  id: string;
  title: string;
  source: string;
  kind: string;
  /** Set when the record was used outside the range it is good for. */
  outsideRange?: string;
}

/** Where a number comes from: the story behind one figure of a forecast. */
export interface Story {
  /** Plain words, one sentence. */
  meaning: string;
  /** The formula as text, e.g. `t = d rho z F / (i M eta)`. */
  formula: string;
  inputs: { name: string; value: number; unit: string; record?: string }[];
  /** Place in the theory pages, e.g. `docs/theory/electrode.md#faraday`. */
  theory: string;
}

/** Local values on the surface of the part, on the mesh the person knows (the file's or the shape's own). */
export interface PartMap {
  /** xyz [m] in the vessel, three a vertex. */
  positions: Float32Array;
  /** Three vertex numbers a triangle. */
  triangles: Uint32Array;
  /** Per vertex: deposit thickness [m]. */
  thickness: Float32Array;
  /** Per vertex: total current density [A/m2], magnitude. */
  currentDensity: Float32Array;
  /** Per vertex: share of the current that deposits metal. */
  efficiency: Float32Array;
  /** Per vertex: metal current over its limiting current; burning begins near 1. */
  limitFraction: Float32Array;
  /** Per triangle: 1 where the surface is significant. */
  significant: Uint8Array;
  /** Per vertex: 0 plated, 1 stays bare, 2 burns; by the thresholds the forecast used for `bareArea` and `burnedArea`. */
  flag?: Uint8Array;
}

/** A surface that is only drawn: vessel, hook, anodes, shields. */
export interface DrawnBody {
  name: string;
  role: 'vessel' | 'hook' | 'anode' | 'shield' | 'robber';
  positions: Float32Array;
  triangles: Uint32Array;
}

export interface Quantiles {
  [level: string]: number;
}

export interface ForecastStep {
  name: string;
  /** Mean current [A] (over on and off times when pulsed). */
  current: number;
  /** Metal-to-metal voltage [V] at the end of the step. */
  cellVoltage: number;
  /** [s] */
  duration: number;
  /** [C] */
  charge: number;
  /** Peak current [A] when pulsed. */
  peakCurrent?: number;
}

export interface AnodeForecast {
  name: string;
  metal: string;
  /** Immersed area [m2], current [A], mean and highest current density [A/m2]. */
  area: number;
  current: number;
  meanCurrentDensity: number;
  peakCurrentDensity: number;
  /** Metal dissolved in this run [kg]; NaN for an insoluble anode. */
  massLost: number;
  /** Deepest local loss in this run [m], and runs until it wears through at its thinnest (Infinity for insoluble). */
  deepestLoss: number;
  runsLeft: number;
  /** Share of its area driven beyond what dissolution can carry (oxygen or chlorine there). */
  passiveShare: number;
  /** Gas made in this run [mol]. */
  oxygen: number;
  chlorine: number;
  /** Shortest distance to the part [m]. */
  gap?: number;
}

/** The answer. Plain data; all numbers SI; the keys of the contract come first. */
export interface Forecast {
  current: number;
  cellVoltage: number;
  duration: number;
  charge: number;
  depositMass: number;
  thickness: {
    mean: number;
    min: number;
    max: number;
    /** `quantiles` by area, keys "0", "0.01", "0.05", "0.25", "0.5", "0.75", "0.95", "0.99", "1". */
    significant: { min: number; mean: number; quantiles: Quantiles };
  };
  /** Area that burns, and area that stays bare [m2]. */
  burnedArea: number;
  bareArea: number;
  band: {
    thickness: Band;
    current: Band;
    cellVoltage: Band;
    duration: Band;
    depositMass: Band;
    efficiency: Band;
  };
  records: RecordUse[];
  warnings: Problem[];
  refusals: Problem[];

  name: string;
  deposit: string;
  /** Wetted areas [m2]. */
  area: { part: number; significant: number; hook: number };
  steps: ForecastStep[];
  /** Mean over the part of the share of current that deposits. */
  efficiency: { mean: number; min: number; max: number };
  /** Where the deposit is thinnest and thickest on the significant surface [m]. */
  thinnest: { position: [number, number, number]; thickness: number };
  thickest: { position: [number, number, number]; thickness: number };
  anodes: AnodeForecast[];
  /** Parts of the cell voltage [V], in order from the anode metal to the part, summing to the cell voltage. */
  voltageParts: { name: string; value: number }[];
  /** What keeps the current from being higher, tightest first; `room` is the factor left (1 = at the limit). */
  limits: { what: string; room: number; explanation: string }[];
  /** Hydrogen made in this run [mol] and per hour [m3/h at 20 C]. */
  hydrogen: { amount: number; volumePerHour: number };
  /** How the field solve went. */
  field: {
    status: string;
    quality: string;
    panels: number;
    unknowns: number;
    imbalance: number;
    /** Estimated relative error from the discretisation: resistance and the 5 % and 95 % thickness quantiles. */
    error: { resistance: number; thin: number; thick: number };
  };
  story: Record<string, Story>;
}
