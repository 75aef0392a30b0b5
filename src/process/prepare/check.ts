import type { Problem } from '../../units/index.js';
import type { Practice } from '../records/practice.js';
import type { Step } from '../records/shapes.js';
import type { Preparation } from './compose.js';
import type { Rule } from './rule.js';
import { CHEMISTRY_RULES } from './rules-chemistry.js';
import { METAL_RULES } from './rules-metal.js';
import { ORDER_RULES } from './rules-order.js';
import { type Passage, trace } from './trace.js';

/** Every rule by its name, which is the code of the problems it finds. */
export const RULES: Readonly<Record<string, Rule>> = { ...CHEMISTRY_RULES, ...ORDER_RULES, ...METAL_RULES };

/**
 * Walks the part through the steps and proves them against every rule. Knows nothing of routes and entry tables: it
 * reasons from what metals do (potential, film, what attacks them) and what clings to the part.
 *
 * @returns the faults; none means no rule is broken.
 */
export function checkSequence(steps: readonly Step[], passage: Passage): Problem[] {
  const visits = trace(steps, passage);
  return Object.entries(RULES).flatMap(([code, rule]) =>
    rule(visits, passage).map(({ at, message }) => ({
      code,
      path: `steps[${at}]${steps[at] ? ` ${steps[at]!.id}` : ''}`,
      message,
    })),
  );
}

/** The passage a preparation is meant to be. */
export function passageOf(practice: Practice, preparation: Preparation): Passage {
  const { substrate, deposit } = preparation;
  const covered = substrate.covered && practice.surfaces.get(substrate.covered);
  return {
    base: practice.surfaces.get(substrate.surface!)!,
    ...(covered && { covered }),
    metals: deposit.layers!.map((id) => practice.steps.get(id)!.metal!),
    surfaces: practice.surfaces,
  };
}
