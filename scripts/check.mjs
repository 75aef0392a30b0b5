/** `npm run check`: types, lint, format, unit tests, fast outside cases, records, examples. Two minutes. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { built, installed, root, run } from './ensure.mjs';

installed();
built();
run(process.execPath, [
  join(root, 'node_modules', '@biomejs', 'biome', 'bin', 'biome'),
  'check',
  '--error-on-warnings',
  '.',
]);
run(process.execPath, [join(root, 'node_modules', 'vitest', 'vitest.mjs'), 'run', '--project', 'unit']);
if (existsSync(join(root, 'dist', 'cli', 'verbs', 'verify.js')))
  run(process.execPath, [join(root, 'bin', 'platewright.js'), 'verify', '--fast']);
