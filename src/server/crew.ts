import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import { type Crew, type SharedCrew, sharedCrew, soloCrew } from '../field/fast/index.js';

/**
 * A crew of the machine's cores for the far field, of Node threads. Threads that cannot be started, or come late, only
 * make the work slower; they do not keep the process alive. Call from a thread that may block.
 */
export function startCrew(size = Math.min(availableParallelism(), 8)): Crew {
  if (size < 2) return soloCrew();
  let crew: SharedCrew;
  try {
    crew = sharedCrew(size);
  } catch {
    // No memory to share here.
    return soloCrew();
  }
  for (const workerData of crew.invitations) {
    try {
      const thread = new Worker(new URL('./crew-thread.js', import.meta.url), { workerData });
      thread.on('error', () => {});
      thread.unref();
    } catch {
      break;
    }
  }
  return crew;
}
