import { done, type Outcome, refused } from '../../units/index.js';
import { bakePlan } from '../after/index.js';
import type { Practice } from '../records/practice.js';
import type { Step } from '../records/shapes.js';

/**
 * The same steps with the heat treatments of this very steel in place of the whole range of the table.
 *
 * @param strength tensile strength [Pa]
 */
export function withStrength(
  practice: Practice,
  steps: readonly Step[],
  deposit: string,
  strength: number,
): Outcome<Step[]> {
  const plan = bakePlan(practice, strength, deposit);
  if (!plan.ok) return plan;
  const { before, after } = plan.value;
  if (after && !steps.some((s) => s.kind === 'postbake'))
    return refused({
      code: 'needs-bake',
      path: '--strength',
      message: `Steel of ${Math.round(strength / 1e6)} MPa needs relief before and a bake after plating.`,
      hint: 'Use the substrate hardened-steel.',
    });
  const set = (step: Step, heat: { time: number; temperature: { min: number; max: number } }): Step => ({
    ...step,
    time: { from: heat.time, to: heat.time },
    temperature: { from: heat.temperature.min, to: heat.temperature.max },
  });
  return done(
    steps.flatMap((step) => {
      if (step.kind === 'prebake') return before ? [set(step, before)] : [step];
      if (step.kind === 'postbake') return after ? [set(step, after)] : [step];
      return [step];
    }),
  );
}
