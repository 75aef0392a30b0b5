import { readFile, realpath, stat } from 'node:fs/promises';
import { basename, dirname, join, sep } from 'node:path';
import { DEFAULT_LIMITS, type PartFile } from '../geometry/index.js';
import type { Watch } from '../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';

/** Opens a part file on disk for the readers: its bytes, its neighbours in the same folder, the Draco decoder. */
export async function openPartFile(path: string): Promise<Outcome<PartFile>> {
  try {
    const found = await stat(path);
    if (!found.isFile()) return refused(unreadable(path, 'it is no ordinary file'));
    if (found.size > DEFAULT_LIMITS.bytes)
      return refused({
        code: 'file-too-large',
        path,
        message: `The file has ${Math.round(found.size / 2 ** 20)} MiB; the most that is read is ${DEFAULT_LIMITS.bytes / 2 ** 20} MiB.`,
        hint: 'Export the part with a coarser tolerance: 0.01 mm is finer than any deposit needs.',
      });
    return done({
      name: basename(path),
      bytes: await readFile(path),
      sibling: siblingsOf(path),
      draco: loadDraco,
    });
  } catch (error) {
    return refused(unreadable(path, systemReason(error)));
  }
}

/** Files in the folder of the part file or below it, and nowhere else even by way of links. */
const siblingsOf =
  (path: string) =>
  async (name: string): Promise<Uint8Array | undefined> => {
    try {
      const folder = await realpath(dirname(path));
      const file = await realpath(join(folder, name));
      if (!file.startsWith(folder + sep)) return undefined;
      const found = await stat(file);
      return found.isFile() && found.size <= DEFAULT_LIMITS.bytes ? await readFile(file) : undefined;
    } catch {
      return undefined;
    }
  };

/** The decoder reads its WebAssembly from disk, so the door loads it, and anew for each file: a crash stays with it. */
async function loadDraco(): Promise<unknown> {
  const { default: draco } = await import('draco3dgltf');
  return draco.createDecoderModule({});
}

/** Reports stages to a terminal and gives up after a time. */
export function terminalWatch(seconds: number): Watch & { timedOut(): boolean } {
  const end = performance.now() + 1000 * seconds;
  let shown = '';
  return {
    report(_fraction, stage) {
      if (!process.stderr.isTTY || stage === shown) return;
      shown = stage;
      process.stderr.write(`${stage} ...\n`);
    },
    cancelled: () => performance.now() > end,
    timedOut: () => performance.now() > end,
  };
}

const unreadable = (path: string, reason: string): Problem => ({
  code: 'file-unreadable',
  path,
  message: `The file "${path}" cannot be read: ${reason}.`,
  hint: 'Check the name and the folder.',
});

function systemReason(error: unknown): string {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'ENOENT') return 'it does not exist';
  if (code === 'EACCES' || code === 'EPERM') return 'you have no permission';
  return code ?? 'unknown reason';
}
