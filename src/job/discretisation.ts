import { quantileOf, spreadOf } from './local.js';
import type { Case, SolvedStep } from './plan.js';
import type { Forecast } from './result.js';

/**
 * Stated error of the panels: how far the numbers moved from the draft panels to those of the forecast, relative.
 * Draft panels are about twice as large, so with the observed first order or better (docs/verification.md) the difference
 * bounds what is left. A draft forecast has nothing coarser to compare with and says NaN.
 */
export function errorOf(
  rough: Case,
  roughSteps: readonly SolvedStep[],
  fine: Case,
  fineSteps: readonly SolvedStep[],
): Forecast['field']['error'] {
  if (rough.setUp === fine.setUp) return { resistance: Number.NaN, thin: Number.NaN, thick: Number.NaN };
  const [a, b] = [measures(rough, roughSteps), measures(fine, fineSteps)];
  const off = (k: number): number => Math.abs(a[k]! / b[k]! - 1);
  return { resistance: off(0), thin: off(1), thick: off(2) };
}

function measures({ setUp }: Case, steps: readonly SolvedStep[]): [number, number, number] {
  const { result } = steps.at(-1)!.levels.at(-1)!;
  const spread = spreadOf(setUp, steps.at(-1)!.growth, setUp.significant);
  return [
    result.cellVoltage / result.current,
    quantileOf(spread, 0.05) / spread.mean,
    quantileOf(spread, 0.95) / spread.mean,
  ];
}
