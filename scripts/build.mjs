/** Builds everything into dist/: generated sources, types and JavaScript, the library of records, the pages. */
import { existsSync, mkdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { root, run } from './ensure.mjs';

const tool = (name, ...args) => run(process.execPath, [join(root, 'node_modules', name), ...args]);

mkdirSync(join(root, 'dist'), { recursive: true });
// Cases and benchmarks import ../../src/...; compiled, the folders of src/ stand directly in dist/.
if (!existsSync(join(root, 'dist', 'src'))) symlinkSync('.', join(root, 'dist', 'src'), 'dir');
for (const step of ['build-wasm.mjs', 'build-library.mjs'])
  if (existsSync(join(root, 'scripts', step))) run(process.execPath, [join(root, 'scripts', step)]);
tool('typescript/bin/tsc', '-b');
if (existsSync(join(root, 'src', 'web', 'index.html')))
  tool('vite/bin/vite.js', 'build', '--config', 'src/web/vite.config.ts', '--logLevel', 'warn');
writeFileSync(join(root, 'dist', '.built'), `${new Date().toISOString()}\n`);
