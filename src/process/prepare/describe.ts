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

/** One step as the lines of a bench sheet. */
export function sayStep(step: Step, number: number): string {
  const { temperature, time, current } = step;
  const figures = [
    step.bath.text,
    temperature &&
      span(fromSI(temperature.from, 'C', 'temperature'), fromSI(temperature.to, 'C', 'temperature'), 'C'),
    time && sayTime(time.from, time.to),
    current &&
      `part ${current.polarity === 'anodic' ? '+ (anode)' : '- (cathode)'} ${span(
        fromSI(current.from, 'A/dm2', 'currentDensity'),
        fromSI(current.to, 'A/dm2', 'currentDensity'),
        'A/dm2',
      )}${step.live ? ', current on before it touches the liquid' : ''}`,
  ].filter(Boolean);
  return [
    `${String(number).padStart(2)}. ${step.title}`,
    `    ${figures.join('; ')}`,
    `    until ${step.endsWhen}`,
    ...(step.kind === 'rinse'
      ? []
      : [
          `    ${step.pauseBefore < 86400 ? `wait at most ${sayTime(step.pauseBefore)} before it; ` : ''}${step.practice}. ${step.why}`,
        ]),
  ].join('\n');
}
