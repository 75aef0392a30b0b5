import type { Step, Surface } from '../records/shapes.js';

/** What the checker is told about the job: nothing of the routes, only what the part is and what shall lie on top. */
export interface Passage {
  /** The metal of the part. */
  base: Surface;
  /** What covers it on arrival and must be stripped. */
  covered?: Surface;
  /** Metals asked for, in order; the last one ends outermost. */
  metals: readonly string[];
  surfaces: ReadonlyMap<string, Surface>;
}

/** One step with the state of the part as it arrives there. */
export interface Visit {
  index: number;
  step: Step;
  /** What the liquid meets. */
  surface: Surface;
  /** The covering that a strip step is there to remove is not yet off. */
  coveredYet: boolean;
  /** The bath before, rinses left out. */
  before?: Step;
  /** Rinses between that bath and this one. */
  rinses: Step[];
  /** Longest time the wet part may spend between leaving that bath and entering this one [s]. */
  wait: number;
  /** Metal already lies on the part. */
  plated: boolean;
}

export const laysMetal = (step: Step): boolean => step.leaves !== undefined;
export const isBath = (step: Step): boolean => step.bath.ph !== undefined && step.kind !== 'rinse';

/** Walks the part through the steps and notes what it is, and what clings to it, at each. */
export function trace(steps: readonly Step[], passage: Passage): Visit[] {
  let surface = passage.covered ?? passage.base;
  let coveredYet = passage.covered !== undefined;
  let before: Step | undefined;
  let rinses: Step[] = [];
  let wait = 0;
  let plated = false;
  return steps.map((step, index) => {
    const visit: Visit = {
      index,
      step,
      surface,
      coveredYet,
      rinses,
      wait,
      plated,
      ...(before && { before }),
    };
    if (step.kind === 'rinse') {
      rinses = [...rinses, step];
      wait += step.time?.to ?? Number.POSITIVE_INFINITY;
    } else if (isBath(step)) {
      before = step;
      rinses = [];
      wait = 0;
    }
    if (step.kind === 'strip' && coveredYet) {
      surface = passage.base;
      coveredYet = false;
    }
    if (laysMetal(step)) {
      surface = passage.surfaces.get(step.leaves!)!;
      plated = true;
    }
    return visit;
  });
}
