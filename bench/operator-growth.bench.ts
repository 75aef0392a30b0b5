import { fastOperator, soloCrew } from '../src/field/fast/index.js';
import { cloudOf, setUp, sphere } from '../src/field/fast/testing/clouds.js';
import { type Bench, exponent, peakMemory, quickest } from './bench.js';

/** Growth of the far field alone: three nodes a panel, tolerance 1e-5, one thread. */
export const bench: Bench = {
  what: 'far-field sums against the number of panels (3 nodes a panel, tolerance 1e-5, one thread)',
  async run({ smoke }) {
    const sizes = smoke ? [300, 600] : [2000, 5000, 10000, 20000, 50000, 100000];
    const rows: (string | number)[][] = [];
    const notes: string[] = [];
    for (const [name, places] of [
      ['sphere', (n: number) => sphere(n, 0.02)],
      ['set-up', setUp],
    ] as const) {
      const [set, apply, memory]: number[][] = [[], [], []];
      for (const panels of sizes) {
        const cloud = cloudOf(places(3 * panels));
        const out = new Float64Array(cloud.count);
        const crew = soloCrew();
        const maker = fastOperator(crew);
        maker(cloud).release!();
        set.push(quickest(3, () => maker(cloud).release!()));
        const operator = maker(cloud);
        apply.push(quickest(5, () => operator.apply(cloud.weight, cloud.weight, out)));
        memory.push(crew.arena.used / 2 ** 20);
        rows.push([name, panels, cloud.count, set.at(-1)!, apply.at(-1)!, memory.at(-1)!, peakMemory()]);
      }
      if (smoke) continue;
      notes.push(
        `${name}: exponents ${exponent(sizes, set).toFixed(2)} (setting up), ` +
          `${exponent(sizes, apply).toFixed(2)} (applying), ${exponent(sizes, memory).toFixed(2)} (memory)`,
      );
    }
    return {
      columns: ['cloud', 'panels', 'nodes', 'set up [ms]', 'apply [ms]', 'plan [MB]', 'process peak [MB]'],
      rows,
      notes,
    };
  },
};
