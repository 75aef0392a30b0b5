import { randomInt } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { type Bench, drop, startBench } from '../../test/browser/bench.js';

interface Saved {
  id: string;
  version: number;
  document: { n: number };
}

/** How often it is killed; set higher for a long proof. */
const ROUNDS = Number(process.env.CRASH_ROUNDS ?? 20);

describe('a server that is killed', () => {
  it(`keeps all that it acknowledged and starts clean, ${ROUNDS} times`, async () => {
    let bench: Bench = await startBench();
    const call = async (method: string, path: string, body: unknown) => {
      const response = await fetch(`${bench.address}${path}`, {
        method,
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(body),
      });
      return response.json() as Promise<Saved>;
    };
    const { id, version } = await call('POST', '/api/jobs', { document: { name: 'Crash', n: 0 } });
    let [acknowledged, base] = [0, version];
    let edits = 0;
    for (let round = 0; round < ROUNDS; round++) {
      const wait = randomInt(5, 250);
      let dying = false;
      const death = new Promise<void>((resolve) => {
        setTimeout(() => {
          dying = true;
          void bench.kill().then(resolve);
        }, wait);
      });
      let tried = acknowledged;
      try {
        while (!dying) {
          tried = acknowledged + 1;
          const saved = await call('PUT', `/api/jobs/${id}`, { base, document: { name: 'Crash', n: tried } });
          [acknowledged, base] = [saved.document.n, saved.version];
          edits += 1;
        }
      } catch {
        // The connection broke: this edit was not acknowledged.
      }
      await death;
      bench = await startBench(bench.folder);
      const answer = await fetch(`${bench.address}/api/jobs/${id}`);
      const found = (await answer.json()) as Saved;
      // The edit under way may have reached the disk without its answer reaching us; nothing else may differ.
      expect([acknowledged, tried], `killed after ${wait} ms in round ${round}`).toContain(found.document.n);
      [acknowledged, base] = [found.document.n, found.version];
    }
    await bench.kill();
    drop(bench);
    console.log(`${edits} acknowledged edits over ${ROUNDS} kills, none lost`);
    expect(edits).toBeGreaterThan(ROUNDS);
  });
});
