import type { Step } from '../records/shapes.js';

/** Hands-on time of a job by step [s]: what the card says, plus moving, looking and ticking. */
export interface TimedStep {
  id: string;
  title: string;
  min: number;
  max: number;
}

/** Moving the part, looking and ticking off [s a step]; a person finds the own value after a few jobs (judgement). */
const HANDLING = 45;
/** Finishing the surface when nobody has said how long [s]: strip and polish dominate old parts (judgement, wide on purpose). */
const POLISH = { min: 1800, max: 3 * 3600 };
/** Baths that run by themselves need a person for the entry and the exit only [s]. */
const ATTEND = 300;

/**
 * Hands-on time of each step; plating and baking count their attendance only.
 *
 * @param past mean hands-on seconds by step id from past jobs, where there are any
 */
export function handsOn(steps: readonly Step[], past: Readonly<Record<string, number>> = {}): TimedStep[] {
  return steps.map(({ id, title, kind, time }) => {
    const known = past[id];
    if (known !== undefined) return { id, title, min: known, max: known };
    if (kind === 'mechanical') return { id, title, ...POLISH };
    if (kind === 'plate' || kind === 'prebake' || kind === 'postbake')
      return { id, title, min: ATTEND, max: ATTEND };
    return { id, title, min: HANDLING + (time?.from ?? 0), max: HANDLING + (time?.to ?? 0) };
  });
}
