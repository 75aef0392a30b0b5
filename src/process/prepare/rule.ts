import type { Passage, Visit } from './trace.js';

/** A rule looks at the whole walk and says what is wrong: the step it stumbles over and one sentence. */
export type Rule = (visits: readonly Visit[], passage: Passage) => { at: number; message: string }[];

/** A rule that judges one step at a time. */
export const each =
  (judge: (visit: Visit, passage: Passage) => string | false | undefined): Rule =>
  (visits, passage) =>
    visits.flatMap((visit) => {
      const message = judge(visit, passage);
      return message ? [{ at: visit.index, message }] : [];
    });
