import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parse } from 'yaml';
import type { CaseResult, fileShape, runCase } from '../../../cases/runner.js';
import type { Verb } from '../verb.js';

const dist = dirname(dirname(dirname(fileURLToPath(import.meta.url))));
const casesFolder = join(dirname(dist), 'cases');
const compiled = (path: string) => import(pathToFileURL(join(dist, 'cases', path)).href);

interface CaseFile {
  /** `field/capacitance` */
  prefix: string;
  title: string;
  why: string;
  results: CaseResult[];
}

/** Every outside case, file after file, in the order of the folders. */
async function runAll(fast: boolean, only: string | undefined): Promise<CaseFile[]> {
  const runner = (await compiled('runner.js')) as { fileShape: typeof fileShape; runCase: typeof runCase };
  const files: CaseFile[] = [];
  for (const area of readdirSync(casesFolder, { withFileTypes: true }).filter((e) => e.isDirectory())) {
    for (const name of readdirSync(join(casesFolder, area.name)).filter((f) => f.endsWith('.yaml'))) {
      const prefix = `${area.name}/${name.replace(/\.yaml$/, '')}`;
      if (only && !prefix.startsWith(only)) continue;
      const file = runner.fileShape.parse(parse(readFileSync(join(casesFolder, area.name, name), 'utf8')));
      const { study } = await compiled(`${prefix}.js`);
      const results: CaseResult[] = [];
      for (const c of file.cases.filter((x) => !(fast && x.slow))) {
        process.stderr.write(`${prefix}/${c.id}\n`);
        results.push(await runner.runCase(prefix, c, study));
      }
      files.push({ prefix, title: file.title, why: file.why, results });
    }
  }
  return files;
}

const number = (x: number) => (Number.isFinite(x) ? Number(x.toPrecision(6)).toString() : 'none');
const percent = (x: number) => (Number.isFinite(x) ? `${(100 * x).toPrecision(2)} %` : '');

function markdown(files: CaseFile[], passed: number, failed: number, pinned: number): string {
  const lines = [
    '# Verification',
    '',
    'Written by `platewright verify --markdown docs/verification.md`. Each line compares a number platewright computes with',
    'one that comes from elsewhere; how the comparison works is in [cases/README.md](../cases/README.md).',
    '',
    `${passed} passed, ${failed} failed${pinned ? `; of these ${pinned} are pinned (they show change, not truth)` : ''}.`,
  ];
  for (const file of files.filter((f) => f.results.length)) {
    lines.push('', `## ${file.title}`, '', file.why, '');
    lines.push(
      '| case | kind | expected | got | off by | allowed | source |',
      '|---|---|---|---|---|---|---|',
    );
    for (const r of file.results)
      lines.push(
        `| ${r.passed ? '' : '**FAILED** '}${r.quantity} | ${r.kind} | ${number(r.expected)} | ${number(r.got)} | ` +
          `${percent(r.relativeError)} | ${r.tolerance ? percent(r.tolerance) : 'ordering'} | ${r.source} |`,
      );
  }
  return `${lines.join('\n')}\n`;
}

export const verify: Verb = {
  name: 'verify',
  summary: 'Run the outside cases: numbers whose answer is known from elsewhere.',
  arguments: [],
  options: [
    { flags: '--fast', description: 'leave out the slow cases' },
    { flags: '--only <prefix>', description: 'only cases whose id starts so, e.g. field/' },
    { flags: '--markdown <file>', description: 'also write the table as a page' },
  ],
  async run(_args, options) {
    const files = await runAll(options.fast === true, options.only as string | undefined);
    const all = files.flatMap((f) => f.results);
    const passed = all.filter((r) => r.passed).length;
    const failed = all.length - passed;
    const pinned = all.filter((r) => r.kind === 'pinned').length;
    if (typeof options.markdown === 'string')
      writeFileSync(options.markdown, markdown(files, passed, failed, pinned));
    const lines = all.map(
      (r) =>
        `${r.passed ? 'ok    ' : 'FAILED'} ${r.id}: expected ${number(r.expected)}, got ${number(r.got)}` +
        `${r.remark ? ` (${r.remark})` : ''}`,
    );
    const result = { cases: all, passed, failed };
    const text = [...lines, `${passed} passed, ${failed} failed`].join('\n');
    return failed === 0
      ? { status: 'done', json: result, text }
      : { status: 'not-completed', json: result, text };
  },
};
