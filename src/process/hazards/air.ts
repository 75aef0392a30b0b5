/**
 * A gas let into a room that is stirred and aired: dc/dt = G/V - n (c - c0) with c0 = 0, so c = G/(n V) (1 - exp(-n t)).
 * Well-mixed air is the kind case: near the bath it is richer, under a lid far richer.
 */
export interface Room {
  /** [m3] */
  volume: number;
  /** Air changes [1/s]. */
  airChanges: number;
}

/**
 * @param source gas let in [m3/s]
 * @param time since it began [s]
 * @returns share by volume
 */
export function concentrationAfter(room: Room, source: number, time: number): number {
  const n = room.airChanges;
  return n > 0 ? (source / (n * room.volume)) * -Math.expm1(-n * time) : (source * time) / room.volume;
}

/** Time [s] until the air holds `share` of the gas; infinite where airing keeps it below. */
export function timeToReach(room: Room, source: number, share: number): number {
  const n = room.airChanges;
  if (!(source > 0)) return Number.POSITIVE_INFINITY;
  if (n === 0) return (share * room.volume) / source;
  const filled = (share * n * room.volume) / source;
  return filled < 1 ? -Math.log1p(-filled) / n : Number.POSITIVE_INFINITY;
}

/** Fresh air [m3/s] that holds a steady source at `share` by volume. */
export const freshAir = (source: number, share: number): number => source / share;
