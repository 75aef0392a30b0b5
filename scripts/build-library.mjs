/** Checks every record under library/ and writes dist/library.json with its JSON Schemas beside it. */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { build } from 'esbuild';
import { parseAllDocuments } from 'yaml';
import { root } from './ensure.mjs';

const folder = join(root, 'library');
const yamlFiles = (path) =>
  readdirSync(path, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory()
      ? yamlFiles(join(path, entry.name))
      : /\.ya?ml$/.test(entry.name)
        ? [join(path, entry.name)]
        : [],
  );

/** The compiled check may not exist yet on a fresh clone, so it is bundled from its source. */
async function checker() {
  const outfile = join(root, 'dist', '.library-check.mjs');
  await build({
    entryPoints: [join(root, 'src', 'library', 'index.ts')],
    outfile,
    bundle: true,
    format: 'esm',
    platform: 'node',
    logLevel: 'warning',
  });
  return import(outfile);
}

mkdirSync(join(root, 'dist'), { recursive: true });
const { loadLibrary, jsonSchemas } = await checker();

const files = [];
let broken = 0;
for (const file of yamlFiles(folder).sort()) {
  const path = relative(folder, file).replaceAll('\\', '/');
  for (const document of parseAllDocuments(readFileSync(file, 'utf8'))) {
    for (const error of document.errors) {
      broken += 1;
      process.stderr.write(`library/${path}: ${error.message}\n`);
    }
    files.push({ path, content: document.toJS() });
  }
}
const loaded = loadLibrary(files);
if (!loaded.ok) {
  broken += loaded.problems.length;
  for (const p of loaded.problems) process.stderr.write(`library/${p.path}: ${p.message}\n`);
}
if (broken > 0) {
  process.stderr.write(`${broken} defects in the library\n`);
  process.exit(1);
}
writeFileSync(join(root, 'dist', 'library.json'), JSON.stringify(files));
writeFileSync(join(root, 'dist', 'library.schema.json'), JSON.stringify(jsonSchemas(), null, 1));
process.stderr.write(`library: ${loaded.value.records.size} records, ${loaded.value.sources.size} sources\n`);
