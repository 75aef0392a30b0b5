import { done, type Outcome, refused } from '../../units/index.js';
import { findDeposit, findSubstrate } from '../records/find.js';
import type { Practice } from '../records/practice.js';
import type { Substrate } from '../records/shapes.js';
import { checkSequence, passageOf } from './check.js';
import { compose, type Preparation } from './compose.js';

export interface MixedPreparation extends Preparation {
  /** Every metal that shows at the surface. */
  exposed: Substrate[];
}

/**
 * A part on which several metals show: worn plating, soldered seams, a steel pin in brass. The sequence of each metal is
 * held against all the others by the checker; the first that harms none of them is the answer.
 */
export function prepareMixed(
  practice: Practice,
  names: readonly string[],
  deposit: string,
): Outcome<MixedPreparation> {
  const found = names.map((name) => findSubstrate(practice, name, '--substrate'));
  const coat = findDeposit(practice, deposit, '--deposit');
  const problems = [...found, coat].flatMap((f) => (f.ok ? [] : f.problems));
  if (!coat.ok || problems.length > 0) return refused(...problems);
  const exposed = found.flatMap((f) => (f.ok ? [f.value] : []));
  const own = exposed.map((substrate) => compose(practice, substrate, coat.value));

  const closed = own.find((p) => p.steps.length === 0);
  if (closed) return done({ ...closed, exposed, reasons: closed.reasons });
  const tried = own.map((preparation) => ({ preparation, harm: harmOf(practice, preparation, own) }));
  const good = tried.find(({ harm }) => harm.length === 0);
  const cautions = [...new Set(own.flatMap((p) => p.cautions))];
  if (good) return done({ ...good.preparation, exposed, cautions });
  return done({
    substrate: exposed[0]!,
    deposit: coat.value,
    exposed,
    steps: [],
    reasons: [
      ...tried.map(
        ({ preparation, harm }) =>
          `The sequence for ${preparation.substrate.name.toLowerCase()}: ${harm[0]}.`,
      ),
      `So no one sequence suits them together. Strip or polish back to one metal (platewright strip), or mask the lesser one. ` +
        'Who can: a plating shop with a copper strike that covers mixed metals.',
    ],
    cautions,
  });
}

/** What a sequence would do to the other metals that show. */
function harmOf(practice: Practice, preparation: Preparation, all: readonly Preparation[]): string[] {
  return all
    .filter((other) => other.substrate.id !== preparation.substrate.id)
    .flatMap((other) =>
      checkSequence(preparation.steps, passageOf(practice, other)).map(
        (fault) => `on ${other.substrate.name.toLowerCase()}, ${fault.message}`,
      ),
    );
}
