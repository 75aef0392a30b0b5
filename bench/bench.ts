/** A timed run: what it measures, and how. Written for scripts/bench.mjs. */
export interface Bench {
  what: string;
  /** `smoke`: so small that it only shows that it runs. */
  run(options: { smoke: boolean }): Promise<Table>;
}

export interface Table {
  columns: string[];
  rows: (string | number)[][];
  notes?: string[];
}

/** Milliseconds of the quickest of some repeats: other work on the machine only ever adds. */
export function quickest(repeats: number, work: () => void): number {
  let best = Number.POSITIVE_INFINITY;
  for (let i = 0; i < repeats; i++) {
    const start = performance.now();
    work();
    best = Math.min(best, performance.now() - start);
  }
  return best;
}

/** Slope of log y over log x by least squares. */
export function exponent(x: readonly number[], y: readonly number[]): number {
  const lx = x.map(Math.log);
  const ly = y.map(Math.log);
  const mx = lx.reduce((a, b) => a + b, 0) / lx.length;
  const my = ly.reduce((a, b) => a + b, 0) / ly.length;
  let above = 0;
  let below = 0;
  lx.forEach((v, i) => {
    above += (v - mx) * (ly[i] - my);
    below += (v - mx) ** 2;
  });
  return above / below;
}

/** Peak memory of this process so far [MB]. */
export const peakMemory = (): number => process.resourceUsage().maxRSS / 1024;
