import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { loadBooleans } from '../../geometry/index.js';
import {
  bathWords,
  buildCard,
  cardHtml,
  type Forecast,
  type Job,
  type JobResult,
  METRIC,
  mapGlb,
  mapVtu,
  pictureSvg,
  runForecast,
  type Story,
} from '../../job/index.js';
import { cardPdf } from '../../server/card-pdf.js';
import { startCrew } from '../../server/crew.js';
import { type Problem, plain, printQuantity } from '../../units/index.js';
import { openJob } from '../job-file.js';
import { shippedLibrary } from '../library.js';
import { terminalWatch } from '../part-file.js';
import type { Verb, VerbResult } from '../verb.js';

const SECONDS = 3600;

export const forecast: Verb = {
  name: 'forecast',
  summary: 'What a set-up will do: amps, volts, minutes and thickness by place, with bands, from a job file.',
  arguments: ['<job>'],
  options: [
    {
      flags: '--out <folder>',
      description: 'write the job card (HTML, PDF), a picture (SVG), the map (GLB, VTU) and the JSON there',
    },
    {
      flags: '--quality <quality>',
      description: 'draft, standard or fine, instead of what the job file says',
    },
    {
      flags: '--explain <figure>',
      description: 'where a figure comes from, e.g. duration; "all" for every one',
    },
  ],
  run: async ([path], options) => run(path!, options),
};

async function run(path: string, options: Record<string, string | boolean | undefined>): Promise<VerbResult> {
  const watch = terminalWatch(SECONDS);
  const opened = await openJob(path, watch);
  if (!opened.ok)
    return {
      status: 'refused',
      problems: opened.problems,
      ...(opened.shown && { text: opened.shown.flatMap((p) => (p.excerpt ? [p.excerpt] : [])).join('\n') }),
    };
  const { job, meshes } = opened.value;
  const quality = options.quality ?? job.quality;
  if (quality !== 'draft' && quality !== 'standard' && quality !== 'fine')
    return {
      status: 'refused',
      problems: [
        {
          code: 'word-unknown',
          path: '--quality',
          message: `--quality is "${String(quality)}".`,
          hint: 'One of draft, standard, fine.',
        },
      ],
    };
  const asked: Job = { ...job, quality };
  const library = shippedLibrary();
  const context = { library, meshes, booleans: await loadBooleans(), crew: startCrew() };
  const result = await runForecast(asked, context, watch);
  if (!result.ok)
    return watch.timedOut()
      ? {
          status: 'not-completed',
          json: { problems: result.problems },
          text: `Not done within ${SECONDS} s.`,
        }
      : { status: 'refused', problems: result.problems };
  const { forecast: f } = result.value;
  f.warnings.unshift(...opened.warnings);
  if (typeof options.out === 'string') await writeAll(options.out, asked, result.value, library);
  for (const w of f.warnings) process.stderr.write(`${note(w)}\n`);
  const text = typeof options.explain === 'string' ? explained(f, options.explain) : inWords(asked, f);
  if (f.field.status !== 'converged') return { status: 'not-completed', json: f, text };
  return { status: 'done', json: f, text };
}

const note = (w: Problem): string => `note: ${w.message}${w.hint ? `\n  try: ${w.hint}` : ''}`;

async function writeAll(
  folder: string,
  job: Job,
  { forecast: f, map, bodies }: JobResult,
  library: ReturnType<typeof shippedLibrary>,
): Promise<void> {
  await mkdir(folder, { recursive: true });
  const card = buildCard({
    job,
    forecast: f,
    bath: bathWords(job, library),
    map,
    bodies,
    units: METRIC,
    date: new Date().toISOString().slice(0, 10),
  });
  const picture = pictureSvg(card);
  await Promise.all([
    ...(picture === undefined ? [] : [writeFile(join(folder, 'picture.svg'), picture)]),
    writeFile(join(folder, 'job-card.html'), cardHtml(card)),
    writeFile(join(folder, 'job-card.pdf'), await cardPdf(card)),
    writeFile(join(folder, 'map.glb'), await mapGlb(map, bodies)),
    writeFile(join(folder, 'map.vtu'), mapVtu(map)),
    writeFile(join(folder, 'forecast.json'), `${JSON.stringify(f, null, 1)}\n`),
  ]);
}

const um = (x: number): string => plain(x * 1e6, 3);

function inWords(job: Job, f: Forecast): string {
  const q = f.thickness.significant.quantiles;
  const b = f.band;
  const rows: [string, string][] = [
    [
      'set',
      `${printQuantity(f.current, 'A', 'current')} (${plain(f.current / (f.area.part + f.area.hook) / 100, 2)} A/dm2 of wetted metal)`,
    ],
    [
      'expect',
      `${printQuantity(f.cellVoltage, 'V', 'voltage')} at the electrodes (${plain(b.cellVoltage.low)} to ${plain(b.cellVoltage.high)})`,
    ],
    [
      'stop at',
      `${printQuantity(f.charge, 'Ah', 'charge')}, about ${printQuantity(f.duration, 'min', 'time')}`,
    ],
    [
      'deposit',
      `${printQuantity(f.depositMass, 'mg', 'mass')} of ${f.deposit} (${plain(b.depositMass.low * 1e6)} to ${plain(b.depositMass.high * 1e6)})`,
    ],
    [
      'thickness',
      `${um(q['0.05']!)} um at the thinnest twentieth, ${um(f.thickness.significant.mean)} mean, ${um(q['0.95']!)} at the thickest twentieth`,
    ],
    [
      'sure to',
      `${um(b.thickness.low)} to ${um(b.thickness.high)} um where ${plain(job.aim.thickness * 1e6)} um is asked; most of it from ${b.thickness.shares
        .slice(0, 3)
        .map((s) => s.input)
        .join(', ')}`,
    ],
    [
      'efficiency',
      `${plain(100 * f.efficiency.mean)} % (${plain(100 * f.efficiency.min)} to ${plain(100 * f.efficiency.max)} over the part)`,
    ],
    [
      'limits',
      f.limits
        .slice(0, 2)
        .map((l) => `${l.what}: ${plain(l.room, 2)} times`)
        .join('; '),
    ],
    [
      'panels',
      `${f.field.panels} (${f.field.quality})${Number.isFinite(f.field.error.thin) ? `, off by about ${plain(100 * f.field.error.thin, 2)} % at the thin end` : '; a draft has no estimate of its error'}`,
    ],
  ];
  return rows.map(([name, value]) => `${name.padEnd(11)}${value}`).join('\n');
}

function explained(f: Forecast, figure: string): string {
  const names = figure === 'all' ? Object.keys(f.story) : [figure];
  return names.map((name) => (f.story[name] ? told(name, f.story[name]!, f) : unknown(name, f))).join('\n\n');
}

const unknown = (name: string, f: Forecast): string =>
  `Nothing is called "${name}"; there is ${Object.keys(f.story).join(', ')}.`;

function told(name: string, story: Story, f: Forecast): string {
  const inputs = story.inputs.map((i) => {
    const record = i.record && f.records.find((r) => r.id === i.record);
    return `  ${i.name}: ${plain(i.value, 4)} ${i.unit}${record ? `  [${record.kind}] ${record.source}` : ''}`;
  });
  return [`${name}: ${story.meaning}`, `  ${story.formula}`, ...inputs, `  theory: ${story.theory}`].join(
    '\n',
  );
}
