import { type Crew, sharedCrew, soloCrew } from '../field/fast/index.js';

/**
 * A crew of the machine's cores for the far field, of workers started by the worker that calls this. Needs a page
 * isolated from other origins (the server's headers see to it) and a caller that may block, so never the page itself;
 * else, and where a worker does not start, the caller works alone. Start it well before the work: workers load only while
 * the event loop of their starter turns.
 */
export function startCrew(size = Math.min(navigator.hardwareConcurrency ?? 1, 8)): Crew {
  if (size < 2 || !globalThis.crossOriginIsolated || typeof document !== 'undefined') return soloCrew();
  const crew = sharedCrew(size);
  const workers = crew.invitations.map((invitation) => {
    const worker = new Worker(new URL('./crew-thread.ts', import.meta.url), { type: 'module' });
    worker.onerror = (event) => event.preventDefault();
    worker.postMessage(invitation);
    return worker;
  });
  return {
    ...crew,
    release() {
      crew.release();
      for (const worker of workers) worker.terminate();
    },
  };
}
