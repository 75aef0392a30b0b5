import { gasAmount, gasVolume } from '../../electrode/index.js';
import type { Practice } from '../records/practice.js';
import { concentrationAfter, freshAir, type Room, timeToReach } from './air.js';

export interface GasRequest {
  /** Current through the cell [A]. */
  current: number;
  /** Share of the current at the part that lays metal. */
  cathodeEfficiency: number;
  /** Share of the current at the anode that dissolves metal. */
  anodeEfficiency: number;
  /** Chloride in the bath: then what the anode does not dissolve may be chlorine, else oxygen. */
  chloride: boolean;
  /** [K] */
  temperature: number;
  room: Room;
  /** How long it runs [s]. */
  duration: number;
}

export interface GasReport {
  gas: 'hydrogen' | 'chlorine' | 'oxygen';
  /** [m3/s] of dry gas at one atmosphere. */
  rate: number;
  /** Over the whole run [m3]. */
  volume: number;
  /** Share by volume in the room at the end, well mixed. */
  share: number;
  /** What to stay below, and its meaning; absent where there is no limit. */
  limit?: { share: number; meaning: string; freshAir: number; reachedAfter: number };
  danger?: { share: number; reachedAfter: number };
  verdict: 'fine' | 'air the room' | 'stop';
  says: string;
}

/**
 * Gases by charge alone: what the current does not do in metal it does in gas. Chlorine is counted as the worst case, all
 * of the anode's gas, where there is chloride; in a bath with sulfate much of it would be oxygen.
 */
export function gases(practice: Practice, request: GasRequest): GasReport[] {
  const { current, cathodeEfficiency, anodeEfficiency, chloride, temperature, room, duration } = request;
  const sources = [
    { gas: 'hydrogen' as const, current: current * (1 - cathodeEfficiency) },
    { gas: chloride ? ('chlorine' as const) : ('oxygen' as const), current: current * (1 - anodeEfficiency) },
  ];
  return sources.map(({ gas, current: part }): GasReport => {
    const rate = gasVolume(gasAmount(gas, Math.max(0, part)), temperature);
    const { says, keepBelow, longTerm, danger } = practice.limits.get(gas)!;
    const bound = keepBelow ?? longTerm;
    const share = concentrationAfter(room, rate, duration);
    const limit = bound && {
      share: bound.value,
      meaning: keepBelow ? 'a quarter of the lower limit of burning' : 'breathing air over a working day',
      freshAir: freshAir(rate, bound.value),
      reachedAfter: timeToReach(room, rate, bound.value),
    };
    const over = bound !== undefined && share > bound.value;
    const grave = danger !== undefined && share > danger.value;
    return {
      gas,
      rate,
      volume: rate * duration,
      share,
      ...(limit && { limit }),
      ...(danger && { danger: { share: danger.value, reachedAfter: timeToReach(room, rate, danger.value) } }),
      verdict: grave || (over && gas === 'chlorine') ? 'stop' : over ? 'air the room' : 'fine',
      says,
    };
  });
}
