import type { PlyType } from './ply-header.js';
import { Words } from './text.js';

/** Numbers in the order of the file, whatever its encoding. */
export interface NumberSource {
  /** The next number, or undefined where the data ends. */
  next(type: PlyType): number | undefined;
  /** No file of this length can hold more numbers than this. */
  most: number;
  fraction(): number;
  /** Whether the number just read was written with a decimal comma (ASCII only). */
  comma?(): boolean;
}

const WIDTH: Record<PlyType, number> = {
  int8: 1,
  uint8: 1,
  int16: 2,
  uint16: 2,
  int32: 4,
  uint32: 4,
  float32: 4,
  float64: 8,
};

export function binarySource(bytes: Uint8Array, start: number, little: boolean): NumberSource {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const read: Record<PlyType, (at: number) => number> = {
    int8: (at) => view.getInt8(at),
    uint8: (at) => view.getUint8(at),
    int16: (at) => view.getInt16(at, little),
    uint16: (at) => view.getUint16(at, little),
    int32: (at) => view.getInt32(at, little),
    uint32: (at) => view.getUint32(at, little),
    float32: (at) => view.getFloat32(at, little),
    float64: (at) => view.getFloat64(at, little),
  };
  let at = start;
  return {
    most: bytes.length - start,
    fraction: () => at / bytes.length,
    next(type) {
      if (at + WIDTH[type] > bytes.length) return undefined;
      const value = read[type](at);
      at += WIDTH[type];
      return value;
    },
  };
}

export function wordSource(bytes: Uint8Array, start: number): NumberSource {
  const words = new Words(bytes, start);
  return {
    most: bytes.length - start,
    fraction: () => words.offset / bytes.length,
    next: () => (words.next() ? words.number() : undefined),
    comma: () => bytes.subarray(words.start, words.end).includes(44),
  };
}
