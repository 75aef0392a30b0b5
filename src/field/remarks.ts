import type { PanelSurface } from '../geometry/index.js';
import type { Problem } from '../units/index.js';
import { isObject } from './case.js';
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
