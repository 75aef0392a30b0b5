import { thermalVoltage } from '../units/index.js';
import { growth, growthSlope } from './exponential.js';

/** Charge transfer of a metal, at the temperature and concentration of the bath. */
export interface MetalKinetics {
  /** Equilibrium potential of metal and ion [V, hydrogen scale]. */
  equilibrium: number;
  /** [A/m2] */
  exchange: number;
  /** Multiply F/RT. */
  cathodic: number;
  anodic: number;
  /** Most the ions' arrival allows (cathodic) [A/m2]; Infinity for none. */
  limit: number;
  /** Most the metal's dissolution allows (anodic) [A/m2]; Infinity for none. */
  passivation: number;
}

/**
 * Current density of the metal reaction, metal into solution [A/m2], with its slope.
 *
 * Butler and Volmer with the surface concentration eliminated: i = (A - C)/(1 + C/limit + A/passivation), where A and C
 * are the anodic and cathodic exponentials. It rises strictly, tends to -limit far below equilibrium and to
 * +passivation far above, and is the Butler-Volmer law itself where both are infinite.
 */
export function metalReaction(
  kinetics: MetalKinetics,
  temperature: number,
): (potential: number) => readonly [number, number] {
  const f = 1 / thermalVoltage(temperature);
  const { equilibrium, exchange, cathodic, anodic, limit, passivation } = kinetics;
  return (potential) => {
    const eta = potential - equilibrium;
    const a = exchange * growth(anodic * f * eta);
    const c = exchange * growth(-cathodic * f * eta);
    const aSlope = anodic * f * exchange * growthSlope(anodic * f * eta);
    const cSlope = -cathodic * f * exchange * growthSlope(-cathodic * f * eta);
    const scale = 1 + c / limit + a / passivation;
    const i = (a - c) / scale;
    // The quotient rule with the terms that cancel cancelled by hand: left to the computer they drown the slope.
    const slope = (aSlope - cSlope + (aSlope * c - a * cSlope) * (1 / limit + 1 / passivation)) / scale ** 2;
    return [i, slope];
  };
}

/**
 * Equilibrium potential [V] of a metal and its ion. Nernst: E = E0 + RT/(zF) ln a, activity on the mol/L scale.
 *
 * @param concentration [mol/m3]
 */
export const nernst = (
  standard: number,
  electrons: number,
  temperature: number,
  concentration: number,
  activityCoefficient = 1,
): number =>
  standard +
  (thermalVoltage(temperature) / electrons) * Math.log((activityCoefficient * concentration) / 1000);
