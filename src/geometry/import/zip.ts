import { type UnzipFileInfo, unzipSync } from 'fflate';
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
      if (found && found.length === entry.originalSize) return done(found);
    } catch {
      // Damaged or encrypted content: told below.
    }
    return refused(broken(`"${name}" in the archive is damaged or encrypted`));
  }
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
