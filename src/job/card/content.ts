import { type Problem, toSI } from '../../units/index.js';
import type { DrawnBody, Forecast, PartMap } from '../result.js';
import type { Job } from '../schema.js';
import type { BathWords } from './bath.js';
import { type Caution, cautions } from './cautions.js';
import type { Drawing } from './drawing.js';
import { legendDrawing } from './legend-drawing.js';
import { mapDrawing } from './map-drawing.js';
import { bands, type Scale } from './scale.js';
import {
  blanks,
  type Entry,
  type Setting,
  settings,
  setupEntries,
  type Watch,
  watchTable,
} from './sections.js';
import { setupDrawing } from './setup-drawing.js';
import { chargeText, clock, given, join, text, type UnitChoice } from './units.js';

/** Everything a job card says, in order, as plain data: one content, several renderings. */
export interface Card {
  title: string;
  /** `nickel on brass, 20 µm`. */
  subtitle: string;
  /** When it holds anything, the job must not be run and the card says so instead of settings. */
  refusals: Problem[];
  settings: Setting[];
  stop: string;
  watch: Watch;
  cautions: Caution[];
  setup: Entry[];
  significant: string;
  drawings: { setup?: Drawing; front?: Drawing; back?: Drawing; legend?: Drawing };
  /** `A` and `B` of the map in words. */
  marks: Entry[];
  warnings: Problem[];
  blanks: Entry[];
  /** How sure this is and what it was made from. */
  colophon: string;
}

export interface CardInput {
  job: Job;
  forecast: Forecast;
  /** The bath in words; the record itself lives in the library. */
  bath: BathWords;
  map?: PartMap;
  bodies?: DrawnBody[];
  units: UnitChoice;
  /** Printed date; the caller owns the clock. */
  date?: string;
}

/** Puts a forecast into the words and order of the bench: settings first, then what to watch, then the rest. */
export function buildCard(input: CardInput): Card {
  const { job, forecast, units } = input;
  const asked = given(job.aim.thickness, units.thickness, 'length');
  return {
    title: job.name,
    subtitle: `${forecast.deposit} on ${job.part.substrate}, at least ${asked} on ${percent(job.aim.share)} of the significant surface${
      forecast.field.quality === 'draft' ? '. A draft: settle the numbers before the bench' : ''
    }`,
    refusals: [...forecast.refusals, ...unfinished(forecast)],
    settings: settings(job, forecast),
    stop: stopLine(forecast),
    watch: watchTable(forecast),
    cautions: cautions(input),
    setup: setupEntries(input),
    significant: significantLine(job, forecast, units),
    drawings: drawings(input),
    marks: marks(forecast, units),
    warnings: forecast.warnings,
    blanks: blanks(units),
    colophon: colophon(forecast, input.date),
  };
}

/** A field that was not solved gives numbers nobody should set a supply by. */
const unfinished = ({ field }: Forecast): Problem[] =>
  field.status === 'converged'
    ? []
    : [
        {
          code: 'field-not-solved',
          path: '',
          message: `The field was not solved (${field.status}), so the numbers cannot be trusted.`,
          hint: 'Change the set-up a little, or work it out again at another quality.',
        },
      ];

export const percent = (share: number): string => `${Number((share * 100).toPrecision(3))} %`;

const stopLine = (f: Forecast): string => {
  const [charge, time] = [join(chargeText(f.charge)), join(clock(f.duration))];
  return (
    `Stop when the charge has reached ${charge}. At the set current that is ${time} after the current came on; ` +
    'if the current drifts or was off for a while, the charge counts and the clock does not.'
  );
};

function significantLine(job: Job, f: Forecast, units: UnitChoice): string {
  const area = text(f.area.significant, units.area, 'area');
  const where = job.part.significant === 'all' ? 'The whole part counts' : 'Only the marked surface counts';
  const mean = text(f.thickness.significant.mean, units.thickness, 'length');
  const thin = text(f.thickness.significant.quantiles['0.05']!, units.thickness, 'length');
  return `${where}: ${area}. Expected there: ${mean} on average, ${thin} at the thinnest twentieth.`;
}

function marks(f: Forecast, units: UnitChoice): Entry[] {
  const say = (thickness: number) => text(thickness, units.thickness, 'length');
  return [
    { label: 'A', value: `thinnest, ${say(f.thinnest.thickness)}` },
    { label: 'B', value: `thickest, ${say(f.thickest.thickness)}` },
  ];
}

function drawings({ job, forecast, map, bodies, units }: CardInput): Card['drawings'] {
  if (!map) return {};
  const scale = scaleOf(forecast, units);
  const required = job.aim.thickness;
  const look = (azimuth: number, title: string) =>
    mapDrawing(map, {
      scale,
      required,
      view: { azimuth, elevation: 0.42 },
      width: 60,
      limit: 4000,
      height: 39,
      title,
      marks: [
        { letter: 'A', position: forecast.thinnest.position },
        { letter: 'B', position: forecast.thickest.position },
      ],
    });
  const out: Card['drawings'] = {
    front: look(-0.6, 'Thickness on the part, seen from the front'),
    back: look(-0.6 + Math.PI, 'Thickness on the part, seen from the back'),
    legend: legendDrawing(scale, units, {
      width: 124,
      required,
      burnt: forecast.burnedArea > 0,
      bare: forecast.bareArea > 0,
    }),
  };
  if (bodies)
    out.setup = setupDrawing(map, bodies, {
      view: { azimuth: -0.9, elevation: 0.32 },
      width: 56,
      height: 45,
      title: 'Where everything hangs',
    });
  return out;
}

/** The scale a forecast is shown in, on paper and on screen. */
export function scaleOf(forecast: Forecast, units: UnitChoice): Scale {
  const { quantiles } = forecast.thickness.significant;
  return bands(quantiles['0.01']!, quantiles['0.99']!, toSI(1, units.thickness, 'length')!);
}

const colophon = (f: Forecast, date?: string): string =>
  `Forecast by platewright${date ? `, ${date}` : ''}, quality ${f.field.quality}, from ${f.records.length} ` +
  `record${f.records.length === 1 ? '' : 's'}. Ranges hold nine outcomes in ten. ` +
  'Local codes and the judgement of a licensed practitioner come first.';
