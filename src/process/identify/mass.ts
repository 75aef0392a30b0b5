import { findNamed } from '../../library/index.js';
import { done, type Outcome, refused } from '../../units/index.js';
import type { Practice } from '../records/practice.js';

/**
 * Mass [kg] of a solid part of a volume [m3] made of a substrate, as a span, because alloys of one name differ.
 * A part that is lighter by more than the span is hollow, or made of something else.
 */
export function massOf(
  practice: Practice,
  substrate: string,
  volume: number,
): Outcome<{ low: number; high: number }> {
  const found = findNamed(practice.substrates.values(), substrate, 'substrate', '--substrate');
  if (!found.ok) return found;
  const alloys = practice.identification.metals.filter((m) => m.substrate === found.value.id);
  if (alloys.length === 0)
    return refused({
      code: 'density-unknown',
      path: '--substrate',
      message: `No density is on record for ${found.value.name}.`,
      hint: 'Weigh the part instead.',
    });
  return done({
    low: volume * Math.min(...alloys.map((m) => m.density.from)),
    high: volume * Math.max(...alloys.map((m) => m.density.to)),
  });
}
