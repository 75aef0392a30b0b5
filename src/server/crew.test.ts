import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { fastOperator, type SharedCrew, soloCrew } from '../field/fast/index.js';
import { cloudOf, setUp } from '../field/fast/testing/clouds.js';
import { startCrew } from './crew.js';

/** Threads need the compiled program; the sources alone cannot start one. */
const compiled = fileURLToPath(new URL('../../dist/server/crew.js', import.meta.url));

const cloud = cloudOf(setUp(20000), 0.0801);
const sums = (crew: Parameters<typeof fastOperator>[0]): Float64Array => {
  const out = new Float64Array(cloud.count);
  fastOperator(crew)(cloud).apply(cloud.weight, cloud.weight, out);
  return out;
};

describe('a crew of threads', () => {
  it.skipIf(!existsSync(compiled))(
    'gives the same numbers as one thread, and its threads work (needs a build)',
    async () => {
      const { startCrew: start } = (await import(compiled)) as { startCrew: typeof startCrew };
      const crew = start(3) as SharedCrew;
      const alone = sums(soloCrew());
      for (let i = 0; i < 100 && crew.helped() === 0; i++) expect(sums(crew)).toEqual(alone);
      expect(crew.helped()).toBeGreaterThan(0);
      crew.release();
      expect(sums(crew)).toEqual(alone);
    },
  );

  it('is the caller alone where threads cannot start, and where one is asked for', () => {
    expect(startCrew(1).size).toBe(1);
    // Here the thread's file is missing (it is TypeScript), so no thread ever comes.
    const crew = startCrew(2) as SharedCrew;
    expect(sums(crew)).toEqual(sums(soloCrew()));
    expect(crew.helped()).toBe(0);
    crew.release();
  });
});
