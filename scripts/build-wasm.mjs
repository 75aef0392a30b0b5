/**
 * Compiles src/field/wasm/kernels.as.ts twice, for a memory of one thread and for one shared by several, and writes
 * the bytes as text into kernels.generated.ts: so the engine needs no file and no network to start.
 */
import { existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { root, run } from './ensure.mjs';

const folder = join(root, 'src', 'field', 'wasm');
const target = join(folder, 'kernels.generated.ts');
const newest = Math.max(
  statSync(join(root, 'scripts', 'build-wasm.mjs')).mtimeMs,
  ...readdirSync(folder)
    .filter((name) => name.endsWith('.as.ts') || name.endsWith('layout.ts'))
    .map((name) => statSync(join(folder, name)).mtimeMs),
);

function compiled(name, ...options) {
  const out = join(root, 'dist', 'wasm', `${name}.wasm`);
  run(process.execPath, [
    join(root, 'node_modules', 'assemblyscript', 'bin', 'asc.js'),
    ...[join('src', 'field', 'wasm', 'kernels.as.ts'), '-O3', '--noAssert', '--runtime', 'stub'],
    ...[
      '--importMemory',
      '--initialMemory',
      '1',
      '--memoryBase',
      '1024',
      '--disableWarning',
      '112',
      '--enable',
      'simd',
      '-o',
      out,
    ],
    ...options,
  ]);
  return readFileSync(out).toString('base64');
}

if (!existsSync(target) || statSync(target).mtimeMs < newest) {
  mkdirSync(join(root, 'dist', 'wasm'), { recursive: true });
  const alone = compiled('alone');
  const shared = compiled('shared', '--enable', 'threads', '--sharedMemory', '--maximumMemory', '32768');
  writeFileSync(
    target,
    `/** Written by scripts/build-wasm.mjs. */\nexport const ALONE =\n  '${alone}';\nexport const SHARED =\n  '${shared}';\n`,
  );
}
