import { fromSI, plain } from '../../units/index.js';
import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';
import type { Step } from '../records/shapes.js';

/** One step as a door hands it on: SI numbers, sources spelled out. */
export interface StepReport {
  id: string;
  title: string;
  kind: string;
  why: string;
  /** What the part goes into. */
  bath?: string;
  /** What it is done with, where there is no bath. */
  tools?: string;
  /** [K] */
  temperature?: { min: number; max: number };
  /** [s] */
  time?: { min: number; max: number };
  /** Magnitudes [A/m2]; `polarity` is that of the part. */
  currentDensity?: { min: number; max: number };
  polarity?: 'anodic' | 'cathodic';
  /** The current is on before the part touches the liquid. */
  enterLive?: true;
  /** What must follow the bath before the next one. */
  rinse?: string;
  endsWhen: string;
  /** Longest safe pause before the step [s]. */
  longestPauseBefore: number;
  practice: string;
  source: string;
  sourceKind: string;
  /** Sources of single numbers where they differ from that of the step. */
  sources: { of: string; source: string; kind: string }[];
}

const RINSES = {
  none: 'none: the next bath is of the same kind',
  one: 'one rinse',
  two: 'two rinses, the second deionised',
  long: 'a long rinse, then a deionised one',
} as const;

/** Units such as A/dm2 leave noise in the last binary digits of the SI number; a record has at most a few figures. */
const tidy = (x: number) => Number(x.toPrecision(12));

export function reportStep(practice: Practice, step: Step): StepReport {
  const cite = readCite(practice.sources, step.cite);
  const range = ({ from, to }: { from: number; to: number }) => ({ min: tidy(from), max: tidy(to) });
  const own = (['temperature', 'time', 'current'] as const).flatMap((of) => {
    const text = step[of]?.cite;
    if (text === undefined) return [];
    const read = readCite(practice.sources, text);
    return [{ of, source: read.text, kind: read.kind }];
  });
  const { temperature, time, current } = step;
  return {
    id: step.id,
    title: step.title,
    kind: step.kind,
    why: step.why,
    ...(step.bath.ph === undefined ? { tools: step.bath.text } : { bath: step.bath.text }),
    ...(temperature && { temperature: range(temperature) }),
    ...(time && { time: range(time) }),
    ...(current && {
      currentDensity: range(current),
      polarity: current.polarity,
    }),
    ...(step.live && { enterLive: true as const }),
    ...(step.rinse && { rinse: RINSES[step.rinse] }),
    endsWhen: step.endsWhen,
    longestPauseBefore: step.pauseBefore,
    practice: step.practice,
    source: cite.text,
    sourceKind: cite.kind,
    sources: own,
  };
}

/** Three digits without idle zeros: a bench sheet says 30 s, not 30.0 s. */
const short = (n: number) => String(Number(plain(n)));
const span = (from: number, to: number, unit: string) =>
  from === to ? `${short(from)} ${unit}` : `${short(from)}-${short(to)} ${unit}`;

/** A stretch of time in the unit a person would say it in. */
export function sayTime(from: number, to = from): string {
  if (to <= 120) return span(from, to, 's');
  if (to < 2 * 3600) return span(from / 60, to / 60, 'min');
  if (to <= 72 * 3600) return span(from / 3600, to / 3600, 'h');
  return span(from / 86400, to / 86400, 'days');
}

/** One line of the bench sheet or job card: a step with the rinses that follow it. */
export interface BenchRow {
  id: string;
  title: string;
  /** Liquid or tool, temperature, current: what to have ready. */
  figures: string;
  /** Timer [s], from the least to the most; none where a look or the charge ends the step. */
  timer?: { min: number; max: number };
  until: string;
  /** Rinses after it, in words; empty where none. */
  rinses: string;
  /** Longest safe pause before it [s]. */
  pause: number;
  practice: string;
  why: string;
}

/** The steps as a person ticks them off: each bath with its rinses on one line. */
export function benchRows(steps: readonly Step[]): BenchRow[] {
  const rows: BenchRow[] = [];
  for (const step of steps) {
    const last = rows.at(-1);
    if (step.kind === 'rinse' && last) {
      last.rinses = [last.rinses, step.title.toLowerCase()].filter(Boolean).join(', then ');
      continue;
    }
    rows.push({
      id: step.id,
      title: step.title,
      figures: figures(step),
      ...(step.time && { timer: { min: step.time.from, max: step.time.to } }),
      until: step.endsWhen,
      rinses: '',
      pause: step.pauseBefore,
      practice: step.practice,
      why: step.why,
    });
  }
  return rows;
}

function figures({ bath, temperature, current, live }: Step): string {
  const celsius = (k: number) => fromSI(k, 'C', 'temperature');
  const density = (j: number) => fromSI(j, 'A/dm2', 'currentDensity');
  return [
    bath.text,
    temperature && span(celsius(temperature.from), celsius(temperature.to), 'C'),
    current &&
      `part ${current.polarity === 'anodic' ? '+ (anode)' : '- (cathode)'} ` +
        `${span(density(current.from), density(current.to), 'A/dm2')}${live ? ', current on before it touches the liquid' : ''}`,
  ]
    .filter(Boolean)
    .join('; ');
}

/** The bench sheet as text, one step a paragraph. */
export function benchText(steps: readonly Step[]): string[] {
  return benchRows(steps).map((row, i) => {
    const pause = row.pause < 86400 ? `wait at most ${sayTime(row.pause)} before it; ` : '';
    return [
      `${String(i + 1).padStart(2)}. ${row.title}`,
      `    ${row.figures}`,
      `    ${row.timer ? `${sayTime(row.timer.min, row.timer.max)}, ` : ''}until ${row.until}`,
      ...(row.rinses ? [`    ${row.rinses}`] : []),
      `    ${pause}${row.practice}. ${row.why}`,
    ].join('\n');
  });
}
