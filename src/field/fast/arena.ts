import { type Memory, PAGE_BYTES } from './machine.js';

/**
 * Hands out blocks of the kernels' memory and takes them back. First fit over a short list of free blocks: there are
 * a few large blocks (tables, plans), so reuse matters (the first touch of memory is dear) and search does not.
 */
export class Arena {
  readonly memory: Memory;
  #end: number;
  /** [address, bytes], by address, no two adjacent. */
  #free: [number, number][] = [];

  constructor(memory: Memory, start: number) {
    this.memory = memory;
    this.#end = (start + 63) & ~63;
  }

  /** Address of a block of at least `bytes`, a multiple of 64. Old views of the memory may be detached by this. */
  take(bytes: number): number {
    const size = Math.max(64, Math.ceil(bytes / 64) * 64);
    const i = this.#free.findIndex(([, b]) => b >= size);
    if (i >= 0) {
      const [at, room] = this.#free[i];
      if (room === size) this.#free.splice(i, 1);
      else this.#free[i] = [at + size, room - size];
      return at;
    }
    const at = this.#end;
    const missing = at + size - this.memory.buffer.byteLength;
    if (missing > 0) this.memory.grow(Math.ceil(missing / PAGE_BYTES));
    this.#end = at + size;
    return at;
  }

  /** Gives back a block of `take(bytes)`. */
  give(address: number, bytes: number): void {
    const size = Math.max(64, Math.ceil(bytes / 64) * 64);
    this.#free.push([address, size]);
    this.#free.sort((a, b) => a[0] - b[0]);
    const joined: [number, number][] = [];
    for (const block of this.#free) {
      const last = joined.at(-1);
      if (last && last[0] + last[1] === block[0]) last[1] += block[1];
      else joined.push([...block]);
    }
    const last = joined.at(-1);
    if (last && last[0] + last[1] === this.#end) {
      this.#end = last[0];
      joined.pop();
    }
    this.#free = joined;
  }

  /** Bytes handed out and not given back, and the bytes between the blocks. */
  get used(): number {
    return this.#end;
  }
}
