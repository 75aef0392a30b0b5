/** `npm test`: what CI runs. Ends with one line `N passed, N failed`. */
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { browser, built, installed, root } from './ensure.mjs';

installed();
built();
const CHROMIUM = browser();
let passed = 0;
let failed = 0;
const count = (ok, what) => {
  if (ok) passed += 1;
  else failed += 1;
  process.stdout.write(`${ok ? 'ok    ' : 'FAILED'} ${what}\n`);
};
const node = (script, ...args) =>
  spawnSync(process.execPath, [join(root, script), ...args], {
    cwd: root,
    stdio: ['ignore', 1, 2],
    env: { ...process.env, CHROMIUM },
  }).status === 0;

count(node('node_modules/@biomejs/biome/bin/biome', 'check', '--error-on-warnings', '.'), 'lint and format');

const report = join(root, 'dist', 'test-report.json');
rmSync(report, { force: true });
node(
  'node_modules/vitest/vitest.mjs',
  'run',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${report}`,
);
if (existsSync(report)) {
  const result = JSON.parse(readFileSync(report, 'utf8'));
  passed += result.numPassedTests;
  failed += result.numFailedTests + result.numFailedTestSuites;
  if (result.numTotalTests === 0) failed += 1;
} else count(false, 'the test runner gave no report');

if (existsSync(join(root, 'dist', 'cli', 'verbs', 'verify.js')))
  count(node('bin/platewright.js', 'verify'), 'outside cases (platewright verify)');
if (existsSync(join(root, 'scripts', 'bench.mjs')))
  count(node('scripts/bench.mjs', '--smoke'), 'benchmarks run');

process.stdout.write(`\n${passed} passed, ${failed} failed\n`);
process.exitCode = failed === 0 ? 0 : 1;
