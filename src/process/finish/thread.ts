import { done, type Outcome, refused } from '../../units/index.js';
import type { Practice } from '../records/practice.js';

export interface ThreadRequest {
  /** [m] */
  pitch: number;
  /** Local thickness on each plated member [m]. */
  thickness: number;
  /** One member plated, or bolt and nut both. */
  members: 1 | 2;
  /** Flank angle included [rad]; 60 degrees for metric and unified threads, 55 for Whitworth. */
  angle: number;
  /** Length over diameter of a bolt measured by batch mean; leave out where thickness is measured locally. */
  slenderness?: number;
}

export interface ThreadRoom {
  /** Growth of the pitch diameter for one thickness unit: 4 at 60 degrees. */
  factor: number;
  /** Growth of the pitch diameter, both members together [m]. */
  growth: number;
  /** Room that tolerance 6g leaves at the tightest [m]; undefined for a pitch that is not in the table. */
  room?: number;
  /** Largest thickness on each plated member that still fits at the tightest [m]. */
  largest?: number;
  fits?: boolean;
}

/**
 * Metal on both flanks of a thread opens the pitch diameter by 2 t / sin(angle/2): four times the thickness at 60 degrees.
 * Long bolts plated in bulk get more at the ends; ISO 4042 counts 5 t from 5 to 10 diameters and 6 t to 15 where only the
 * batch mean is measured (table read as a stored page).
 */
export function threadRoom(practice: Practice, request: ThreadRequest): Outcome<ThreadRoom> {
  const { pitch, thickness, members, angle, slenderness = 0 } = request;
  if (!(pitch > 0 && thickness >= 0 && angle > 0 && angle < Math.PI))
    return refused({
      code: 'thread-impossible',
      path: 'pitch',
      message: `A thread of pitch ${pitch * 1e3} mm with ${thickness * 1e6} um on it is none.`,
    });
  const ends = slenderness <= 5 ? 1 : slenderness <= 10 ? 1.25 : 1.5;
  const factor = (2 / Math.sin(angle / 2)) * ends;
  const growth = factor * thickness * members;
  const entry = [...practice.threads.values()].find((t) => Math.abs(t.pitch - pitch) < 1e-6);
  const metric = Math.abs(angle - Math.PI / 3) < 1e-3;
  if (!entry || !metric) return done({ factor, growth });
  return done({
    factor,
    growth,
    room: entry.room,
    largest: entry.room / (factor * members),
    fits: growth <= entry.room,
  });
}
