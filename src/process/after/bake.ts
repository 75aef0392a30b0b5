import { done, type Outcome, refused } from '../../units/index.js';
import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';

export interface Heat {
  /** [K] */
  temperature: { min: number; max: number };
  /** [s] */
  time: number;
  source: string;
}

export interface BakePlan {
  /** Stress relief before any acid; needed where the part was ground, machined or cold formed after hardening. */
  before?: Heat;
  /** Embrittlement relief after plating. */
  after?: Heat & { /** [s] */ startWithin: number };
  remarks: string[];
}

/** Above this a bench refuses [Pa]: ASTM B633 bars electroplating above 1700 MPa (46 HRC) unless specified. */
const NEVER = 1700e6;

/**
 * Heat treatment against hydrogen embrittlement by tensile strength (ASTM B849 before, B850 after).
 *
 * @param strength tensile strength [Pa]
 * @param deposit id of the deposit, for its own limit of temperature
 */
export function bakePlan(practice: Practice, strength: number, deposit?: string): Outcome<BakePlan> {
  const { before, after, notAbove } = practice.relief.get('steel')!;
  if (!(strength > 0))
    return refused({
      code: 'not-positive',
      path: 'strength',
      message: `The strength is ${strength / 1e6} MPa.`,
    });
  if (strength > NEVER)
    return refused({
      code: 'too-strong',
      path: 'strength',
      message: `Steel of ${Math.round(strength / 1e6)} MPa is not to be electroplated without special leave (ASTM B633: above 1700 MPa or 46 HRC).`,
      hint: 'A plating shop that certifies embrittlement relief, or no plating at all.',
    });
  const HOUR = 3600;
  const pick = (steps: typeof after.steps) => steps.find((s) => strength > s.above && strength <= s.to);
  const first = pick(before.steps);
  const last = pick(after.steps);
  const limit = notAbove.find((l) => l.deposit === deposit);
  const remarks = limit ? [`Not above ${Math.round(limit.limit - 273.15)} C: ${limit.why}.`] : [];
  if (last)
    remarks.push(
      'Never above the temper of the steel: a bake at 190-220 C softens steel that was tempered lower.',
    );
  else remarks.push('At or below 1000 MPa no bake is asked for.');
  return done({
    ...(first && {
      before: {
        temperature: { min: before.temperature.from, max: before.temperature.to },
        time: first.hours * HOUR,
        source: readCite(practice.sources, before.cite).text,
      },
    }),
    ...(last && {
      after: {
        temperature: {
          min: after.temperature.from,
          max: Math.min(after.temperature.to, limit?.limit ?? Number.POSITIVE_INFINITY),
        },
        time: last.hours * HOUR,
        startWithin: after.startWithin.value,
        source: readCite(practice.sources, after.cite).text,
      },
    }),
    remarks,
  });
}
