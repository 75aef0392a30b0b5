import { FARADAY, thermalVoltage } from '../units/index.js';
import { growth, growthSlope } from './exponential.js';

/**
 * Hydrogen at the cathode, from hydrogen ions and from water, coupled to what the liquid can bring and carry away.
 *
 * Discharge of hydrogen ions is first order in their concentration at the surface; discharge of water does not depend on
 * pH. Every electron takes one proton. Protons arrive as hydrogen ions and from the acids that buffer the bath, and what
 * is missing leaves as hydroxide. The one unknown is the surface concentration of hydrogen ions; the balance falls
 * strictly with it, so there is exactly one answer at every potential. docs/theory/electrode.md#hydrogen
 */
export interface HydrogenKinetics {
  /** [A/m2] at 0 V on the hydrogen scale and 1 mol/L hydrogen ions, at the temperature of the bath. */
  acidExchange: number;
  /** Multiplies F/RT. */
  acidTransfer: number;
  /** [A/m2] at the equilibrium potential of water at pH 14, at the temperature of the bath. */
  waterExchange: number;
  waterTransfer: number;
}

export interface ProtonSource {
  /** Acid and its base together [mol/m3]. */
  total: number;
  /** Acid constant as a concentration [mol/m3]. */
  acidConstant: number;
  /** [m/s] */
  coefficient: number;
}

export interface ProtonTransfer {
  /** Bulk concentration of hydrogen ions [mol/m3]. */
  bulk: number;
  /** Ion product of water [mol2/m6]. */
  ionProduct: number;
  /** [m/s] */
  hydrogenIon: number;
  hydroxide: number;
  buffers: readonly ProtonSource[];
}

export interface HydrogenState {
  /** Magnitude of the current density that makes hydrogen [A/m2], its slope against potential [A/(m2 V)], negative. */
  current: number;
  slope: number;
  /** The share of it that came from water. */
  fromWater: number;
  /** Hydrogen ions at the surface [mol/m3]. */
  surface: number;
}

/** pH 14: where the water reaction's exchange current is stated. */
const ALKALI = 14 * Math.LN10;

export function hydrogenEvolution(
  kinetics: HydrogenKinetics,
  transfer: ProtonTransfer,
  temperature: number,
): (potential: number) => HydrogenState {
  const f = 1 / thermalVoltage(temperature);
  const waterPotential = -ALKALI / f;
  const { bulk, ionProduct, hydrogenIon, hydroxide, buffers } = transfer;

  /** Current density the liquid feeds with protons at a surface concentration h, and its derivative by ln h. */
  const feed = (h: number): [number, number] => {
    let flux = hydrogenIon * (bulk - h) + hydroxide * (ionProduct / h - ionProduct / bulk);
    let slope = -hydrogenIon * h - (hydroxide * ionProduct) / h;
    for (const { total, acidConstant, coefficient } of buffers) {
      const share = h / (h + acidConstant);
      flux += coefficient * total * (bulk / (bulk + acidConstant) - share);
      slope -= coefficient * total * share * (1 - share);
    }
    return [FARADAY * flux, FARADAY * slope];
  };

  return (potential) => {
    const acidPower = -kinetics.acidTransfer * f * potential;
    const acid = (kinetics.acidExchange / 1000) * growth(acidPower);
    const acidSlope = (-kinetics.acidTransfer * f * kinetics.acidExchange * growthSlope(acidPower)) / 1000;
    const waterPower = -kinetics.waterTransfer * f * (potential - waterPotential);
    const water = kinetics.waterExchange * growth(waterPower);
    const waterSlope = -kinetics.waterTransfer * f * kinetics.waterExchange * growthSlope(waterPower);

    // Bracket: at the bulk value nothing is fed; at the lower end hydroxide alone would carry the largest demand.
    let high = Math.log(bulk);
    let low = Math.log(ionProduct / (ionProduct / bulk + (acid * bulk + water) / (FARADAY * hydroxide)));
    let u = high;
    let fed = 0;
    let fedSlope = 0;
    let h = bulk;
    for (let step = 0; step < 80; step++) {
      h = Math.exp(u);
      [fed, fedSlope] = feed(h);
      const demand = acid * h + water;
      const miss = fed - demand;
      if (miss > 0) low = u;
      else high = u;
      if (Math.abs(miss) <= 1e-13 * demand || high - low < 1e-14) break;
      const next = u - miss / (fedSlope - acid * h);
      u = next > low && next < high ? next : (low + high) / 2;
    }
    const current = acid * h + water;
    const drift = (acidSlope * h + waterSlope) / (fedSlope - acid * h);
    return {
      current,
      slope: acidSlope * h + waterSlope + acid * h * drift,
      fromWater: water / current,
      surface: h,
    };
  };
}
