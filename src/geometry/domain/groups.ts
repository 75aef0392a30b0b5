import type { Placed } from '../shapes/placed.js';
import type { Gap } from './domain.js';
import { type BodySpec, leadOf, WALL } from './spec.js';
import type { Cavity } from './vessel.js';
import { gapBetween, heights } from './wet.js';

/** Closer than this [m] counts as touching: a micrometre, well below what anyone can place by hand. */
export const CONTACT = 1e-6;

export interface Grouped {
  /** Bodies that get panels, those that touch each other together; clips and what hangs above the liquid left out. */
  groups: number[][];
  gaps: (Gap & { i: number; j: number })[];
  /** i * n + j for bodies that touch. */
  touching: Set<number>;
}

/** Who is how near to whom, and which bodies of one lead join into one piece of metal. */
export function groupsOf(
  specs: BodySpec[],
  bodies: Placed[],
  nodes: Float64Array[],
  cavity: Cavity | undefined,
  liquid: number | undefined,
): Grouped {
  const n = bodies.length;
  const gaps: Grouped['gaps'] = [];
  const touching = new Set<number>();
  const root = bodies.map((_, i) => i);
  const find = (i: number): number => (root[i] === i ? i : find(root[i]!));
  for (let i = 0; i < n; i++)
    for (let j = i + 1; j < n; j++) {
      const one = gapBetween(bodies[i]!, nodes[i]!, bodies[j]!);
      const two = gapBetween(bodies[j]!, nodes[j]!, bodies[i]!);
      const gap = Math.min(one.gap, two.gap);
      gaps.push({ from: specs[i]!.name, to: specs[j]!.name, gap: gap < CONTACT ? 0 : gap, i, j });
      if (gap >= CONTACT) continue;
      touching.add(i * n + j).add(j * n + i);
      if (specs[i]!.role !== 'clip' && specs[j]!.role !== 'clip' && leadOf(specs[i]!) === leadOf(specs[j]!))
        root[find(i)] = find(j);
    }
  if (cavity)
    bodies.forEach((_, i) => {
      let gap = Infinity;
      for (let k = 0; k < nodes[i]!.length; k += 3) {
        const p = [nodes[i]![k]!, nodes[i]![k + 1]!, nodes[i]![k + 2]!] as const;
        if (liquid === undefined || p[2] <= liquid) gap = Math.min(gap, cavity.distance(p));
      }
      if (gap < Infinity) gaps.push({ from: specs[i]!.name, to: WALL, gap, i, j: -1 });
    });
  const wet = (i: number): boolean =>
    specs[i]!.role !== 'clip' && (liquid === undefined || heights(nodes[i]!)[0] < liquid);
  const groups = new Map<number, number[]>();
  for (let i = 0; i < n; i++) {
    if (!wet(i)) continue;
    groups.set(find(i), [...(groups.get(find(i)) ?? []), i]);
  }
  return { groups: [...groups.values()], gaps, touching };
}
