import type { PanelSurface } from '../geometry/index.js';
import type { Problem } from '../units/index.js';
import { isObject } from './case-surface.js';
import type { FieldProblem, FieldResult } from './problem.js';

/** Where a result has left the overpotentials its table was given for; `surface` is the one the result is on. */
export function tableRemarks(
  { patches }: FieldProblem,
  surface: PanelSurface,
  result: FieldResult,
): Problem[] {
  const out: Problem[] = [];
  patches.forEach(({ law }, k) => {
    if (law?.kind !== 'table') return;
    const { panel, weight, potential, count } = result.nodes;
    const [low, high] = [law.overpotential[0], law.overpotential[law.overpotential.length - 1]];
    let outside = 0;
    let area = 0;
    let farthest = 0;
    for (let i = 0; i < count; i++) {
      if (surface.patch[panel[i]] !== k) continue;
      const eta = result.patches[k].potential - potential[i] - (law.equilibriumPotential ?? 0);
      area += weight[i];
      const beyond = Math.max(low - eta, eta - high);
      if (beyond <= 0) continue;
      outside += weight[i];
      farthest = Math.max(farthest, beyond);
    }
    if (outside > 0)
      out.push({
        code: 'table-extrapolated',
        path: `patches.${surface.patchNames[k]}.law`,
        message: `On ${((100 * outside) / area).toPrecision(3)} % of "${surface.patchNames[k]}" the overpotential lies up to ${farthest.toPrecision(3)} V outside the table (${low} to ${high} V), which was continued as a straight line.`,
        hint: 'Extend the table, or lower the current.',
      });
  });
  return out;
}

/**
 * Where an anode and a cathode meet in one edge: metal on metal, a short. With kinetics the problem still has an answer,
 * with two fixed potentials the current at the edge grows without bound as panels shrink.
 */
export function contactRemarks({ patches, surface }: FieldProblem): Problem[] {
  const owner = new Map<string, Set<number>>();
  const { panels, nodes } = surface;
  const place = (k: number): string => [0, 1, 2].map((d) => nodes[3 * panels[k] + d].toPrecision(9)).join();
  for (let p = 0; p < surface.patch.length; p++) {
    const role = patches[surface.patch[p]].role;
    if (role !== 'cathode' && role !== 'anode') continue;
    for (let side = 0; side < 3; side++) {
      const key = place(6 * p + 3 + side);
      owner.set(key, (owner.get(key) ?? new Set()).add(surface.patch[p]));
    }
  }
  const met = new Set<string>();
  for (const set of owner.values())
    for (const a of set)
      for (const b of set)
        if (patches[a].role === 'anode' && patches[b].role === 'cathode') met.add(`${a}/${b}`);
  return [...met].map((pair) => {
    const [a, b] = pair.split('/').map((k) => surface.patchNames[Number(k)]);
    return {
      code: 'anode-touches-cathode',
      path: `patches.${a}`,
      message: `"${a}" and "${b}" share an edge: metal touches metal there, which is a short.`,
      hint: 'Leave a gap, or put an insulating patch between them.',
    };
  });
}

/** A list of points [x, y, z] in metres, plain or as {"points": [...]}, xyz after xyz. */
export function readProbes(input: unknown, problems: Problem[]): Float64Array | null {
  const list = isObject(input) ? input.points : input;
  if (
    Array.isArray(list) &&
    list.every((p) => Array.isArray(p) && p.length === 3 && p.every((x) => Number.isFinite(x)))
  )
    return Float64Array.from(list.flat() as number[]);
  if (input !== null)
    problems.push({
      code: 'probes-unreadable',
      path: '--probe',
      message: 'The probe file should be a JSON list of points, each three finite numbers in metres.',
    });
  return null;
}
