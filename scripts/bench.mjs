/**
 * `npm run bench [-- names] [--smoke]`: timed runs of bench/*.ts against the built program. Each prints a table and
 * writes it to dist/bench/<name>.json; `--smoke` runs each tiny, to see that it still runs.
 */
import { mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { built, installed, root } from './ensure.mjs';

installed();
built();
const smoke = process.argv.includes('--smoke');
const wanted = process.argv.slice(2).filter((a) => !a.startsWith('--'));
const out = join(root, 'dist', 'bench');
mkdirSync(out, { recursive: true });

/** Compiles a bench file; what it takes from src/ is the built program itself. */
async function load(name) {
  const file = join(out, `${name}.mjs`);
  await build({
    entryPoints: [join(root, 'bench', `${name}.ts`)],
    outfile: file,
    bundle: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    logLevel: 'warning',
    plugins: [
      {
        name: 'built-program',
        setup: ({ onResolve }) =>
          onResolve({ filter: /^\.\.\/src\// }, ({ path }) => ({
            path: pathToFileURL(join(root, 'dist', path.slice('../src/'.length))).href,
            external: true,
          })),
      },
    ],
  });
  return (await import(pathToFileURL(file).href)).bench;
}

const text = (value) =>
  typeof value === 'number' && !Number.isInteger(value) ? String(+value.toPrecision(4)) : String(value);

function print({ columns, rows, notes = [] }) {
  const lines = [columns, ...rows].map((row) => row.map(text));
  const width = columns.map((_, c) => Math.max(...lines.map((l) => l[c].length)));
  for (const line of lines)
    process.stdout.write(`  ${line.map((cell, c) => cell.padStart(width[c])).join('  ')}\n`);
  for (const note of notes) process.stdout.write(`  ${note}\n`);
}

const names = readdirSync(join(root, 'bench'))
  .filter((name) => name.endsWith('.bench.ts'))
  .map((name) => name.slice(0, -3));
for (const name of names) {
  if (wanted.length > 0 && !wanted.some((w) => name.startsWith(w))) continue;
  const bench = await load(name);
  process.stdout.write(`${name.replace('.bench', '')}: ${bench.what}\n`);
  const table = await bench.run({ smoke });
  print(table);
  writeFileSync(
    join(out, `${name}.json`),
    `${JSON.stringify({ name, what: bench.what, smoke, ...table }, null, 1)}\n`,
  );
}
process.exit(0);
