import { SCRATCH_BYTES } from '../wasm/layout.js';
import { Arena } from './arena.js';
import { KERNELS, type KernelName, type Kernels, kernelsFor, type Memory, newMemory } from './machine.js';

/**
 * Hands that run the kernels over one memory: the caller alone, or with threads that a door has started.
 * A crew serves one caller at a time; operators of the same caller share it.
 */
export interface Crew {
  /** Threads that would take part, the caller included. */
  readonly size: number;
  readonly arena: Arena;
  /** Runs a kernel over the entries [from, to) of its list, `chunk` at a time; returns when all are done. */
  run(kernel: KernelName, plan: number, from: number, to: number, chunk: number): void;
  /** Sends the threads home. The memory stays usable by the caller alone. */
  release(): void;
}

/** Words at the start of the memory by which caller and threads agree; see `SharedCrew`. */
const STATE = 0;
const NEXT = 1;
const END = 2;
const CHUNK = 3;
const KERNEL = 4;
const PLAN = 5;
const ACTIVE = 6;
const FAILED = 7;
const HELPED = 8;
const CONTROL_WORDS = 16;
const GONE = -1;
/** Beyond the constants that the kernels bring along (a few thousand bytes from 1024 on, see scripts/build-wasm.mjs). */
const SCRATCH_START = 65536;
const scratchOf = (member: number): number => SCRATCH_START + member * SCRATCH_BYTES;

/** The caller alone. */
export function soloCrew(): Crew {
  const memory = newMemory(scratchOf(1), false);
  const arena = new Arena(memory, scratchOf(1));
  let kernels: Kernels | undefined;
  return {
    size: 1,
    arena,
    run(kernel, plan, from, to) {
      kernels ??= kernelsFor(memory, false);
      if (from < to) kernels[kernel](plan, from, to, SCRATCH_START);
    },
    release() {},
  };
}

/** What a thread is given when it is started: plain data that can be posted to it. */
export interface Invitation {
  memory: Memory;
  member: number;
}

export interface SharedCrew extends Crew {
  /** For the door to post to each thread it starts, which then calls `joinCrew`. */
  readonly invitations: Invitation[];
  /** Chunks of work that threads have done so far: whether they came at all. */
  helped(): number;
}

/**
 * A crew over shared memory. Work is shared out through a counter, in chunks, and the caller works too; so a thread
 * that never came, or came late, only makes the rest slower. The caller must be allowed to block (not the main thread
 * of a page). STATE is odd while a run is open and even while none is; a thread that wakes counts itself in (ACTIVE)
 * and looks at STATE again before it takes anything, so that it cannot mix up two runs.
 */
export function sharedCrew(size: number): SharedCrew {
  const memory = newMemory(scratchOf(size), true);
  const arena = new Arena(memory, scratchOf(size));
  const control = new Int32Array(memory.buffer, 0, CONTROL_WORDS);
  const kernels = kernelsFor(memory, true);
  return {
    size,
    arena,
    invitations: Array.from({ length: size - 1 }, (_, i) => ({ memory, member: i + 1 })),
    run(kernel, plan, from, to, chunk) {
      if (from >= to) return;
      if (to - from <= chunk || Atomics.load(control, STATE) === GONE) {
        kernels[kernel](plan, from, to, SCRATCH_START);
        return;
      }
      control[END] = to;
      control[CHUNK] = chunk;
      control[KERNEL] = KERNELS.indexOf(kernel);
      control[PLAN] = plan;
      Atomics.store(control, NEXT, from);
      Atomics.add(control, STATE, 1);
      Atomics.notify(control, STATE);
      takePart(control, kernels, SCRATCH_START);
      // Closed to those who wake late; those inside are waited for.
      Atomics.add(control, STATE, 1);
      for (;;) {
        const active = Atomics.load(control, ACTIVE);
        if (active === 0) break;
        Atomics.wait(control, ACTIVE, active, 1000);
      }
      if (Atomics.load(control, FAILED) !== 0) throw new Error('A thread of the crew failed in a kernel.');
    },
    helped: () => Atomics.load(control, HELPED),
    release() {
      Atomics.store(control, STATE, GONE);
      Atomics.notify(control, STATE);
    },
  };
}

/** The life of a thread: waits for runs and takes part, until the crew is released. Blocks. */
export function joinCrew({ memory, member }: Invitation): void {
  const control = new Int32Array(memory.buffer, 0, CONTROL_WORDS);
  const kernels = kernelsFor(memory, true);
  for (let seen = 0; ; ) {
    const state = Atomics.load(control, STATE);
    if (state === GONE) return;
    if (state === seen || state % 2 === 0) {
      Atomics.wait(control, STATE, state);
      continue;
    }
    seen = state;
    Atomics.add(control, ACTIVE, 1);
    try {
      if (Atomics.load(control, STATE) === seen)
        Atomics.add(control, HELPED, takePart(control, kernels, scratchOf(member)));
    } catch {
      Atomics.store(control, FAILED, 1);
    }
    Atomics.sub(control, ACTIVE, 1);
    Atomics.notify(control, ACTIVE);
  }
}

/** Takes chunks until there are none; returns how many. */
function takePart(control: Int32Array, kernels: Kernels, scratch: number): number {
  const kernel = kernels[KERNELS[control[KERNEL]]];
  const plan = control[PLAN];
  const chunk = control[CHUNK];
  const end = control[END];
  for (let taken = 0; ; taken++) {
    const from = Atomics.add(control, NEXT, chunk);
    if (from >= end) return taken;
    kernel(plan, from, Math.min(from + chunk, end), scratch);
  }
}
