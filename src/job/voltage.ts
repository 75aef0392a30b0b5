import type { Case, SolvedLevel } from './plan.js';

/**
 * Where the volts go, from the anode metal to the part; they sum to the cell voltage.
 * Potentials vary over an electrode; each part is the mean over the current that passes there.
 */
export function voltageParts(
  { setUp }: Case,
  { result, laws }: SolvedLevel,
): { name: string; value: number }[] {
  const { nodes } = result;
  const { patch } = setUp.domain.surface;
  const sum = { anode: 0, anodeRest: 0, anodeOver: 0, work: 0, workSolution: 0, anodeSolution: 0 };
  for (let i = 0; i < nodes.count; i++) {
    const number = patch[nodes.panel[i]!]!;
    const role = setUp.roles[number]!;
    const current = nodes.currentDensity[i]! * nodes.weight[i]!;
    if (role.role === 'anode') {
      const rest = laws.anodes.get(role.metal)!.restPotential;
      sum.anode += current;
      sum.anodeRest += current * rest;
      sum.anodeOver += current * (result.patches[number]!.potential - nodes.potential[i]! - rest);
      sum.anodeSolution += current * nodes.potential[i]!;
    } else if (role.role === 'work') {
      sum.work -= current;
      sum.workSolution -= current * nodes.potential[i]!;
    }
  }
  const work = setUp.roles.findIndex((r) => r.role === 'work');
  const solution = sum.workSolution / sum.work;
  const cathode = solution - result.patches[work]!.potential;
  const cathodeRest = -laws.cathode.restPotential;
  return [
    { name: 'equilibrium', value: sum.anodeRest / sum.anode + cathodeRest },
    { name: 'anode', value: sum.anodeOver / sum.anode },
    { name: 'liquid', value: sum.anodeSolution / sum.anode - solution },
    { name: 'part', value: cathode - cathodeRest },
  ];
}
