import type { Deposit } from '../../electrode/index.js';
import { massPerCharge } from '../../electrode/index.js';

export interface WeighedPart {
  /** Weight before and after [kg]. */
  before: number;
  after: number;
  /** One step of the scale [kg]. */
  step: number;
  /** Plated area [m2], and its relative uncertainty as half of a 90 % interval. */
  area: number;
  areaUncertainty: number;
  /** Charge that passed [C], if it was counted. */
  charge?: number;
}

export interface WeighedThickness {
  /** Mean thickness [m] with a 90 % interval. */
  mean: number;
  low: number;
  high: number;
  /** Least mean thickness this scale tells from nothing on this area [m], 95 % sure. */
  smallest: number;
  /** Deposited over Faraday's full mass; undefined without charge. */
  efficiency?: { value: number; low: number; high: number };
  /** True where the gain is not clearly above what the scale can see. */
  unseen: boolean;
}

/** Half width of a central 90 % interval in standard deviations, and the one-sided 95 % point: 1.645. */
const Z = 1.6449;

/**
 * Mean thickness from the weight gained. Each reading is off by up to one step either way (even distribution, sigma =
 * step / sqrt 3), two readings make a gain; the area adds its own doubt.
 */
export function weighedThickness(metal: Deposit, part: WeighedPart): WeighedThickness {
  const gain = part.after - part.before;
  const sigmaGain = Math.SQRT2 * (part.step / Math.sqrt(3));
  const perArea = metal.density * part.area;
  const mean = gain / perArea;
  const sigma = Math.hypot(sigmaGain / perArea, (mean * part.areaUncertainty) / Z);
  const smallest = (Z * sigmaGain) / perArea;
  const full = part.charge && massPerCharge(metal) * part.charge;
  return {
    mean,
    low: mean - Z * sigma,
    high: mean + Z * sigma,
    smallest,
    unseen: mean < smallest,
    ...(full && {
      efficiency: {
        value: gain / full,
        low: (gain - Z * sigmaGain) / full,
        high: (gain + Z * sigmaGain) / full,
      },
    }),
  };
}

/** Mean thickness one step of the scale stands for [m]: 0.01 g on 20 cm2 of nickel is 0.56 um. */
export const thicknessPerStep = (metal: Deposit, step: number, area: number): number =>
  step / (metal.density * area);
