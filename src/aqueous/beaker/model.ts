import type { Problem } from '../../units/index.js';

/** A beaker in which an anode is dissolved into a liquid. Amounts in mol, SI throughout. */
export interface BeakerSetup {
  /** Component of the metal that dissolves, and the electrons an atom gives. */
  metal: string;
  electrons: number;
  /** Amounts at the start [mol] by component (H follows from the charges) and water [kg]. */
  amounts: Record<string, number>;
  water: number;
  /** [K] */
  temperature: number;
  surroundings: {
    temperature: number;
    /** Relative humidity, 0 to 1. */
    humidity: number;
    /** Heat lost by walls and surface other than by evaporation [W/K]. */
    heatLoss: number;
    /** Open liquid surface [m2]; a lid makes it small. */
    openArea: number;
    /** Heat capacity of the vessel and what is in it besides the liquid [J/K]. */
    vessel: number;
  };
  drive: { current: number } | { voltage: number };
  anodeArea: number;
  cathodeArea: number;
  /** Resistance times conductivity of the path between the electrodes [1/m]: gap over area for two facing plates. */
  cellConstant: number;
  /** Leads, clips and the supply [ohm]. */
  leads: number;
  /** Share of the metal in the liquid that the cathode meets: 1 bare, less behind a porous wall. */
  metalAtCathode: number;
}

/** The liquid as the electrodes meet it. */
export interface LiquidNow {
  /** [K] */
  temperature: number;
  pH: number;
  /** Dissolved, all species [mol/m3]. */
  metal: number;
  chloride: number;
  /** [mol/m3] by component. */
  concentration: Readonly<Record<string, number>>;
  /** [S/m] */
  conductivity: number;
}

/** A law: current density, metal into solution [A/m2], with its slope, at an overpotential [V] from rest. */
export interface ElectrodeLaw {
  restPotential: number;
  at(overpotential: number): readonly [number, number];
}
export interface BeakerLaws {
  anode: ElectrodeLaw & {
    split(overpotential: number): { dissolution: number; oxygen: number; chlorine: number };
  };
  cathode: ElectrodeLaw & { split(overpotential: number): { metal: number; hydrogen: number } };
}
/** Supplies the laws of the two electrodes for the liquid of the moment. */
export type Electrodes = (liquid: LiquidNow) => BeakerLaws;

/** Currents of the moment [A], all positive but `plating`, which is negative if the cathode dissolves. */
export interface Currents {
  total: number;
  dissolution: number;
  oxygen: number;
  chlorine: number;
  plating: number;
  hydrogen: number;
  /** Metal to metal [V]. */
  voltage: number;
}

export interface BeakerPoint extends Currents {
  time: number;
  temperature: number;
  pH: number;
  /** Metal in solution [kg/m3]. */
  metal: number;
  /** Metal as a solid in the liquid [mol]. */
  sludge: number;
  conductivity: number;
  /** Liquid [m3], water [kg]. */
  volume: number;
  water: number;
  /** Totals since the start: charge [C]; dissolved, plated [mol]; hydrogen, oxygen, chlorine gas [mol]. */
  charge: number;
  dissolved: number;
  plated: number;
  hydrogenGas: number;
  oxygenGas: number;
  chlorineGas: number;
  /** Largest relative error of the metal and charge balances. */
  balance: number;
}

export type BeakerEnd = 'time' | 'dry' | 'boiling' | 'stalled';

export interface BeakerRun {
  status: 'done' | 'stopped' | 'failed';
  end: BeakerEnd;
  points: BeakerPoint[];
  /** When and why the metal stopped rising, if it did. */
  standstill?: { time: number; reason: 'plates-back' | 'acid-used-up' | 'anode-passive' };
  /** Metal [kg/m3] the acid can hold as a neutral salt. */
  ceiling?: number;
  warnings: Problem[];
  evaluations: number;
}
