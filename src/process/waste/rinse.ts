/**
 * Counterflow rinsing with n tanks: C0/Cn = sum over k = 0..n of r^k, r = water over drag-out (mass balance, every tank stirred).
 */
export function dilutionOf(ratio: number, tanks: number): number {
  let sum = 0;
  for (let k = 0; k <= tanks; k++) sum += ratio ** k;
  return sum;
}

/**
 * Water over drag-out that reaches a dilution in n tanks; by bisection, the sum rises with the ratio.
 *
 * @param dilution wanted C0/Cn, above 1
 */
export function rinseRatio(dilution: number, tanks: number): number {
  if (!(dilution > 1) || tanks < 1) return Number.NaN;
  let low = 0;
  let high = dilution;
  while (high - low > 1e-12 * high) {
    const mid = (low + high) / 2;
    if (dilutionOf(mid, tanks) < dilution) low = mid;
    else high = mid;
  }
  return (low + high) / 2;
}

/** What clings to a part after draining [m3/m2]: 20 mL a square foot, a middle value (counterflow rinse application note). */
export const DRAG_OUT = 20e-6 / 0.09290304;

/** Volume [m3] and substance [kg] a part of an area [m2] carries out of a bath of a concentration [kg/m3]. */
export function dragOut(
  area: number,
  concentration: number,
  film = DRAG_OUT,
): { volume: number; mass: number } {
  const volume = film * area;
  return { volume, mass: volume * concentration };
}

/** Water [m3/s] for one running rinse that holds `wanted` when drag-out brings in metal at a rate [kg/s]. */
export const singleRinseFlow = (metalRate: number, wanted: number): number => metalRate / wanted;
