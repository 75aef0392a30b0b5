import { execFileSync } from 'node:child_process';
import { FieldSolver, fastOperator } from '../src/field/index.js';
import { chartSurface, spherePatches } from '../src/field/testing/surfaces.js';
import { type Bench, exponent, peakMemory } from './bench.js';

/** A ball of 5 mm off the middle of a ball of 30 mm: 24 n^2 panels of three nodes. Linear law, 1 V. */
function solve(n: number): Row {
  const surface = chartSurface(
    [
      ...spherePatches([0.005, 0.005, 0.005], n, 0, 0, [0.012, 0, 0.005]),
      ...spherePatches([0.03, 0.03, 0.03], n, 1, 1),
    ],
    ['cathode', 'anode'],
  );
  const start = performance.now();
  const prepared = FieldSolver.prepare({ surface }, { makeOperator: fastOperator() });
  if (!prepared.ok) throw new Error(JSON.stringify(prepared.problems));
  const ready = performance.now();
  const result = prepared.value.solve({
    conductivity: 8,
    patches: [
      { role: 'cathode', law: { kind: 'linear', resistance: 3.125e-4 } },
      { role: 'anode', law: { kind: 'fixed' } },
    ],
    drive: { voltage: 1 },
  });
  return {
    panels: surface.patch.length,
    prepare: (ready - start) / 1000,
    solve: (performance.now() - ready) / 1000,
    megabytes: peakMemory(),
    applications: result.operatorApplications,
    resistance: result.cellVoltage / result.current,
    status: result.status,
  };
}

interface Row {
  panels: number;
  prepare: number;
  solve: number;
  megabytes: number;
  applications: number;
  resistance: number;
  status: string;
}

/** Child of this file: one size in a process of its own, so that its memory is its own. */
export function child(n: number): void {
  process.stdout.write(`${JSON.stringify(solve(n))}\n`);
  process.exit(0);
}

export const bench: Bench = {
  what: 'whole solves against the number of panels (eccentric spheres, linear law, 3 nodes a panel, one thread)',
  async run({ smoke }) {
    const rows = (smoke ? [3, 5] : [9, 14, 20, 29, 46, 65]).map((n) => {
      const code = `import(${JSON.stringify(import.meta.url)}).then((m) => m.child(${n}))`;
      const out = execFileSync(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 2] });
      return JSON.parse(out.toString()) as Row;
    });
    const panels = rows.map((r) => r.panels);
    const time = exponent(
      panels,
      rows.map((r) => r.prepare + r.solve),
    );
    // What Node itself takes is in every row; growth is what comes on top of the smallest.
    const memory = exponent(
      panels.slice(1),
      rows.slice(1).map((r) => r.megabytes - rows[0]!.megabytes),
    );
    return {
      columns: ['panels', 'prepare [s]', 'solve [s]', 'peak [MB]', 'applications', 'R [ohm]', 'status'],
      rows: rows.map((r) => [
        r.panels,
        r.prepare,
        r.solve,
        r.megabytes,
        r.applications,
        r.resistance,
        r.status,
      ]),
      notes: smoke
        ? []
        : [`exponents: time ${time.toFixed(2)}, memory above the smallest ${memory.toFixed(2)}`],
    };
  },
};
