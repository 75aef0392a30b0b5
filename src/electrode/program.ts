import type { Problem } from '../units/index.js';
import { sandTime } from './mass-transfer.js';

/**
 * What the supply does over time, and the constant levels a field solve needs to stand for it.
 * Currents [A] are magnitudes of the cell current, negative when reversed; times in s.
 */
export type Segment =
  | { kind: 'hold'; current: number; duration: number }
  | { kind: 'ramp'; from: number; to: number; duration: number }
  | {
      kind: 'pulse';
      /** Current while on, and between (0 for a pause, negative for reverse). */
      peak: number;
      base: number;
      on: number;
      off: number;
      duration: number;
    };

/** A constant current for a time. The levels of a segment carry its charge exactly. */
export interface Level {
  current: number;
  duration: number;
}

/** Three-point Gauss-Legendre rule on [0, 1]: exact for the charge of a ramp and for laws up to fifth order in it. */
const GAUSS = [
  [0.5 - Math.sqrt(0.15), 5 / 18],
  [0.5, 4 / 9],
  [0.5 + Math.sqrt(0.15), 5 / 18],
] as const;

export function levelsOf(segment: Segment): Level[] {
  switch (segment.kind) {
    case 'hold':
      return [{ current: segment.current, duration: segment.duration }];
    case 'ramp':
      return GAUSS.map(([place, weight]) => ({
        current: segment.from + place * (segment.to - segment.from),
        duration: weight * segment.duration,
      }));
    case 'pulse': {
      const duty = dutyOf(segment);
      return [
        { current: segment.peak, duration: duty * segment.duration },
        { current: segment.base, duration: (1 - duty) * segment.duration },
      ].filter((level) => level.duration > 0);
    }
  }
}

/** Share of the time a pulse train is on. */
export const dutyOf = (pulse: { on: number; off: number }): number => pulse.on / (pulse.on + pulse.off);

/** Charge through a segment [C]. */
export const chargeOf = (segment: Segment): number =>
  levelsOf(segment).reduce((sum, level) => sum + level.current * level.duration, 0);

/** Mean current of a segment [A]: what a slow meter shows. */
export const meanCurrent = (segment: Segment): number => chargeOf(segment) / segment.duration;

/**
 * Most metal current a pulse may carry at its peak [A/m2]. While a pulse lasts, only a thin layer next to the surface
 * breathes; the liquid beyond it sees the mean. Ibl, Surf. Technol. 10 (1980) 81 (from memory): the layer is
 * sqrt(2 D on (1 - duty)), and the peak limit is the steady limit over (layer/steady layer)(1 - duty) + duty.
 * A layer longer than the steady one means that each pulse reaches the steady state by itself.
 *
 * @param limit steady limiting current density [A/m2]
 * @param coefficient steady mass-transfer coefficient [m/s]
 */
export function pulseLimit(
  limit: number,
  coefficient: number,
  diffusivity: number,
  pulse: { on: number; off: number },
): number {
  const duty = dutyOf(pulse);
  const breathing = Math.sqrt(2 * diffusivity * pulse.on * (1 - duty));
  const share = Math.min(1, (breathing * coefficient) / diffusivity);
  return limit / (share * (1 - duty) + duty);
}

/**
 * What a pulse train does that a mean and a peak do not show.
 *
 * @param surface at the peak: slope of the law [A/(m2 V)], double-layer capacitance [F/m2], peak current density [A/m2],
 * and the metal ion: electrons, diffusivity [m2/s], concentration [mol/m3]
 */
export function pulseRemarks(
  pulse: { on: number; off: number },
  surface: {
    slope: number;
    capacitance: number;
    peak: number;
    electrons: number;
    diffusivity: number;
    concentration: number;
  },
  path = '',
): Problem[] {
  const remarks: Problem[] = [];
  // The double layer charges through the charge-transfer resistance; three time constants reach 95 %.
  const charging = (3 * surface.capacitance) / surface.slope;
  if (Math.min(pulse.on, pulse.off) < charging)
    remarks.push({
      code: 'pulse-shorter-than-charging',
      path,
      message: `Pulses of ${milliseconds(pulse.on)} on and ${milliseconds(pulse.off)} off are shorter than the ${milliseconds(charging)} the surface needs to follow, so it sees much the same as steady current.`,
      hint: 'Use longer times, or plain current.',
    });
  const empty = sandTime(surface.electrons, surface.diffusivity, surface.concentration, surface.peak);
  if (pulse.on > empty)
    remarks.push({
      code: 'pulse-longer-than-supply',
      path,
      message: `After ${milliseconds(empty)} at the peak the liquid at the surface has no metal left, and the pulse lasts ${milliseconds(pulse.on)}: it will burn.`,
      hint: 'Shorten the pulse or lower its peak.',
    });
  return remarks;
}

const milliseconds = (seconds: number): string =>
  seconds < 1 ? `${Number((seconds * 1000).toPrecision(2))} ms` : `${Number(seconds.toPrecision(2))} s`;
