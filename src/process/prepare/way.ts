import type { Practice } from '../records/practice.js';
import type { Step } from '../records/shapes.js';

/**
 * The shortest chain of baths that lays `layers` in order on a surface: strikes and barriers are put in where a bath
 * may not be entered on what lies there. Breadth first over surfaces; ties go to the order in the library.
 *
 * @returns the plating steps, or undefined where no chain exists.
 */
export function way(practice: Practice, surface: string, layers: readonly string[]): Step[] | undefined {
  const steps: Step[] = [];
  let at = surface;
  for (const layer of layers) {
    const target = practice.steps.get(layer)!;
    const part = shortest(practice, at, target);
    if (!part) return undefined;
    steps.push(...part);
    at = target.leaves!;
  }
  return steps;
}

function shortest(practice: Practice, from: string, target: Step): Step[] | undefined {
  // A plated layer of the metal that is asked for would make the wanted bath pointless; only a strike of it may lie under.
  const under = [...practice.steps.values()].filter(
    (s) => s.under && s.id !== target.id && (s.kind === 'strike' || s.metal !== target.metal),
  );
  const seen = new Set([from]);
  let front: { at: string; steps: Step[] }[] = [{ at: from, steps: [] }];
  while (front.length > 0) {
    const direct = front.find(({ at }) => target.covers!.includes(at));
    if (direct) return [...direct.steps, target];
    front = front.flatMap(({ at, steps }) =>
      under
        .filter((s) => s.covers?.includes(at) && !seen.has(s.leaves!))
        .map((s) => {
          seen.add(s.leaves!);
          return { at: s.leaves!, steps: [...steps, s] };
        }),
    );
  }
  return undefined;
}
