import type { Watch } from '../../numerics/index.js';
import type { Problem } from '../../units/index.js';
import { type Crossings, findCrossings } from './crossings.js';
import { findHoles } from './holes.js';
import type { ShellFacts } from './nesting.js';
import type { Shells } from './shells.js';
import type { Soup } from './soup.js';

/** What the person should know about a surface that was accepted. Lengths are told as shares of the part's size. */
export function remarksOn(
  soup: Soup,
  shells: Shells,
  facts: ShellFacts[],
  nested: boolean,
  size: number,
  watch: Watch,
): Problem[] {
  const remarks: Problem[] = [];
  const tell = (code: string, message: string, hint?: string): void => {
    remarks.push({ code, path: '', message, ...(hint && { hint }) });
  };
  if (facts.some((fact) => !fact.closed)) {
    const holes = findHoles(soup, shells);
    const widest = Math.sqrt(holes.reduce((most, hole) => Math.max(most, hole.area), 0));
    tell(
      'open-surface',
      `The surface is open: ${holes.length || 'several'} ${holes.length === 1 ? 'hole' : 'holes'}, the widest about ${percent(widest / size)} of the part's size. Its volume is a guess.`,
      'Close the surface in the program the part was drawn in ("make solid", "close holes") and export it again.',
    );
  }
  if (shells.crowded.length)
    tell(
      'touching-edges',
      `${shells.crowded.length} edges have more than two faces; bodies that touch there were taken apart.`,
    );
  if (shells.oneSided)
    tell(
      'one-sided-surface',
      `At ${shells.oneSided} edges the surface has no inside and outside (it is twisted like a Moebius band).`,
      'Rebuild that region in the program the part was drawn in.',
    );
  const voids = facts.filter((fact) => fact.kind === 'cavity').length;
  if (voids)
    tell(
      'enclosed-cavities',
      `${voids} closed ${voids === 1 ? 'cavity lies' : 'cavities lie'} inside the part; no bath reaches there, but the area given counts the walls.`,
    );
  const embedded = facts.filter((fact) => fact.kind === 'embedded').length;
  if (embedded)
    tell(
      'body-inside-body',
      `${embedded} ${embedded === 1 ? 'body lies' : 'bodies lie'} wholly inside another; area and volume count both.`,
      'Unite the bodies before export, or delete the inner one.',
    );
  if (!nested) tell('nesting-unchecked', 'There are too many bodies to find out which lies inside which.');
  return [...remarks, ...crossingRemarks(findCrossings(soup, shells, size, watch))];
}

function crossingRemarks({ between, within, complete }: Crossings): Problem[] {
  const remarks: Problem[] = [];
  const count = (n: number): string => (complete ? `${n}` : `at least ${n}`);
  if (between)
    remarks.push({
      code: 'overlapping-bodies',
      path: '',
      message: `Bodies run into each other (${count(between)} pairs of faces cross); area and volume count the buried part too.`,
      hint: 'Unite the bodies before export for exact figures.',
    });
  if (within)
    remarks.push({
      code: 'self-crossing',
      path: '',
      message: `The surface runs through itself (${count(within)} pairs of faces cross); area and volume are doubtful there.`,
      hint: 'Repair the region in the program the part was drawn in.',
    });
  if (!complete && !between && !within)
    remarks.push({
      code: 'overlaps-unchecked',
      path: '',
      message: 'The surface is too tangled to search it for overlaps in reasonable time.',
    });
  return remarks;
}

const percent = (share: number): string => `${Number((100 * share).toPrecision(2))} %`;
