import * as L from '../wasm/layout.js';
import type { Arena } from './arena.js';
import type { Tables } from './tables.js';

type Data = Int32Array | Float32Array | Float64Array;

/** Collects the arrays of a plan, then takes one block of memory and writes them there. */
export class Block {
  bytes = L.PLAN_BYTES;
  #address = 0;
  readonly #items: { word: number; at: number; data?: Data }[] = [];
  readonly #counts = new Map<number, number>();

  /** An array that starts as zeros, or as `data`. */
  room(word: number, bytes: number, data?: Data): void {
    this.#items.push({ word, at: this.bytes, ...(data && { data }) });
    this.bytes += (bytes + 63) & ~63;
  }
  put(word: number, data: Data): void {
    this.room(word, data.byteLength, data);
  }
  count(word: number, value: number): void {
    this.#counts.set(word, value);
  }
  address(word: number): number {
    const item = this.#items.find((i) => i.word === word);
    return item ? this.#address + item.at : 0;
  }
  place(arena: Arena, tables: Tables | undefined): number {
    this.#address = arena.take(this.bytes);
    const { buffer } = arena.memory;
    new Uint8Array(buffer, this.#address, this.bytes).fill(0);
    const words = new Int32Array(buffer, this.#address, L.PLAN_BYTES / 4);
    for (const [word, value] of this.#counts) words[word / 4] = value;
    for (const { word, at, data } of this.#items) {
      words[word / 4] = this.#address + at;
      if (data)
        new (data.constructor as Float64ArrayConstructor)(buffer, this.#address + at, data.length).set(data);
    }
    if (tables) {
      words[L.TERMS / 4] = tables.terms;
      words[L.STRIDE / 4] = tables.stride;
      words[L.ORDER / 4] = tables.order;
      for (const [word, value] of tables.words) words[word / 4] = value;
    }
    return this.#address;
  }
}
