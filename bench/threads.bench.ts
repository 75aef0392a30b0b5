import { availableParallelism } from 'node:os';
import { fastOperator, soloCrew } from '../src/field/fast/index.js';
import { cloudOf, setUp } from '../src/field/fast/testing/clouds.js';
import { startCrew } from '../src/server/crew.js';
import { type Bench, quickest } from './bench.js';

/** One thread and all cores on the same sums. */
export const bench: Bench = {
  what: `far-field sums with 1 and ${availableParallelism()} threads (tolerance 1e-5)`,
  async run({ smoke }) {
    const rows: (string | number)[][] = [];
    const crew = startCrew();
    for (const n of smoke ? [3000] : [3000, 6000, 12000, 30000, 100000, 300000]) {
      const cloud = cloudOf(setUp(n));
      const out = new Float64Array(cloud.count);
      const times = [soloCrew(), crew].map((hands) => {
        const operator = fastOperator(hands)(cloud);
        const time = quickest(smoke ? 2 : 12, () => operator.apply(cloud.weight, cloud.weight, out));
        operator.release!();
        return time;
      });
      rows.push([n, times[0]!, times[1]!, times[0]! / times[1]!]);
    }
    crew.release();
    return { columns: ['nodes', 'one [ms]', 'all [ms]', 'ratio'], rows };
  },
};
