import { strFromU8, type UnzipFileInfo, unzipSync } from 'fflate';
import { done, type Outcome, refused } from '../../units/index.js';
import type { ReadLimits } from './file.js';

/** Archives smaller than this unpacked are never traps, whatever their ratio. */
const HARMLESS = 16 * 2 ** 20;

/**
 * Unpacks one file of a 3MF archive after its directory has been looked at: sizes and ratio are judged before a byte is
 * unpacked. Names compare without letter case, as 3MF part names do.
 */
export class Archive {
  private spent = 0;
  private constructor(
    private readonly bytes: Uint8Array,
    readonly files: UnzipFileInfo[],
    private readonly limits: ReadLimits,
  ) {}

  static open(bytes: Uint8Array, limits: ReadLimits): Outcome<Archive> {
    const files: UnzipFileInfo[] = [];
    try {
      unzipSync(bytes, {
        filter: (file) => {
          files.push(file);
          return false;
        },
      });
    } catch {
      return refused(broken('The archive has no readable directory'));
    }
    return done(new Archive(bytes, files, limits));
  }

  has(name: string): boolean {
    return this.files.some((f) => sameName(f.name, name));
  }

  read(name: string): Outcome<Uint8Array> {
    const entry = this.files.find((f) => sameName(f.name, name));
    if (!entry) return refused(broken(`The archive has no file "${name}"`));
    const ratio = entry.originalSize / Math.max(1, entry.size);
    this.spent += entry.originalSize;
    if (this.spent > this.limits.unpacked || (entry.originalSize > HARMLESS && ratio > this.limits.ratio))
      return refused({
        code: 'archive-expands-too-far',
        path: name,
        message: `"${name}" would unpack from ${mib(entry.size)} to ${mib(entry.originalSize)} MiB, more than a part file needs.`,
        hint: 'Export the part again, or with a coarser tolerance.',
      });
    try {
      const found = unzipSync(this.bytes, { filter: (file) => file.name === entry.name })[entry.name];
      const sum = checksums(this.bytes).get(entry.name);
      if (found?.length === entry.originalSize && (sum === undefined || sum === crc32(found)))
        return done(found);
    } catch {
      // Damaged or encrypted content: told below.
    }
    return refused(broken(`"${name}" in the archive is damaged or encrypted`));
  }
}

const END = 0x06054b50;
const ENTRY = 0x02014b50;

/**
 * The CRC-32 of each file as the archive's directory states it. The library does not compare them, and a flipped bit in
 * a coordinate would otherwise pass unseen. Empty where the directory is of the kind for archives beyond 4 GiB.
 */
function checksums(bytes: Uint8Array): Map<string, number> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const sums = new Map<string, number>();
  let end = bytes.length - 22;
  while (end >= 0 && end > bytes.length - 65_600 && view.getUint32(end, true) !== END) end--;
  if (end < 0) return sums;
  let at = view.getUint32(end + 16, true);
  while (at + 46 <= bytes.length && view.getUint32(at, true) === ENTRY) {
    const length = view.getUint16(at + 28, true);
    const latin = (view.getUint16(at + 8, true) & 2048) === 0;
    sums.set(strFromU8(bytes.subarray(at + 46, at + 46 + length), latin), view.getUint32(at + 16, true));
    at += 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return sums;
}

const TABLE = Uint32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  return c;
});

function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const byte of bytes) c = TABLE[(c ^ byte) & 255]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

const plainName = (name: string): string => name.replace(/^\/+/, '').toLowerCase();
const sameName = (a: string, b: string): boolean => plainName(a) === plainName(b);
const mib = (bytes: number): string => (bytes / 2 ** 20).toPrecision(3);
const broken = (message: string) => ({
  code: 'archive-damaged',
  path: '',
  message: `${message}.`,
  hint: 'Copy or export the file again.',
});
