import type { Forecast } from '../result.js';
import type { Job } from '../schema.js';
import type { CardInput } from './content.js';
import {
  chargeText,
  clock,
  currentText,
  given,
  join,
  massText,
  type Printed,
  printed,
  range,
  text,
  type UnitChoice,
} from './units.js';

export interface Entry {
  label: string;
  value: string;
}

/** One number to set or meet, printed large. */
export interface Setting {
  label: string;
  value: Printed;
  /** The band, or what the number is for. */
  note: string;
}

export interface Watch {
  rows: { at: string; expected: string }[];
  /** What it means when the volts leave the range. */
  remarks: string[];
}

/** How far above the expected volts the limit of the supply is set: room for a cold bath, none for an open lead. */
const VOLTAGE_ROOM = 1.15;

/** The numbers for the supply and the clock; one set for each step when there are several. */
export function settings(job: Job, f: Forecast): Setting[] {
  const several = f.steps.length > 1;
  const out: Setting[] = [];
  f.steps.forEach((step, i) => {
    const wanted = job.steps[i]?.drive;
    const volts = wanted !== undefined && 'voltage' in wanted;
    const lead = several ? `${i + 1}. ${step.name}: ` : '';
    const scale = f.current > 0 ? step.current / f.current : 1;
    const amps = `${range(f.band.current.low * scale, f.band.current.high * scale, 'A', 'current')} expected`;
    const lift = f.cellVoltage > 0 ? step.cellVoltage / f.cellVoltage : 1;
    const [low, high] = [f.band.cellVoltage.low * lift, f.band.cellVoltage.high * lift];
    if (volts)
      out.push({
        label: `${lead}set volts`,
        value: printed(step.cellVoltage, 'V', 'voltage'),
        note: amps,
      });
    else {
      out.push({
        label: `${lead}set current`,
        value: currentText(step.current),
        note:
          step.peakCurrent === undefined
            ? 'constant current'
            : `mean; peak ${join(currentText(step.peakCurrent))}`,
      });
      out.push({
        label: `${lead}volt limit`,
        value: { number: limit(high).toFixed(1), unit: 'V' },
        note: `${range(low, high, 'V', 'voltage')} expected`,
      });
    }
    out.push({
      label: several ? `${lead}time` : 'time',
      value: clock(step.duration),
      note: several ? join(chargeText(step.charge)) : timeNote(f),
    });
  });
  out.push({
    label: 'stop at charge',
    value: chargeText(f.charge),
    note: `about ${join(massText(f.depositMass))} of ${f.deposit}`,
  });
  return out;
}

const limit = (high: number): number => Math.ceil(high * VOLTAGE_ROOM * 10 - 1e-9) / 10;

const timeNote = (f: Forecast): string => {
  const { low, high } = f.band.duration;
  return high > low ? `${join(clock(low))} to ${join(clock(high))}` : 'as set';
};

/** Expected volts one minute in, five minutes in and at the end, by the step in force then. */
export function watchTable(f: Forecast): Watch {
  const relative = (v: number) => (f.cellVoltage > 0 ? v / f.cellVoltage : 1);
  const stepAt = (time: number) => {
    let left = time - 1e-6;
    for (const step of f.steps) {
      left -= step.duration;
      if (left <= 0) return step;
    }
    return f.steps[f.steps.length - 1]!;
  };
  const end = f.steps.reduce((sum, s) => sum + s.duration, 0);
  const moments = [
    { at: '1 min', time: 60 },
    { at: '5 min', time: 300 },
    { at: `end, ${join(clock(end))}`, time: end },
  ].filter((m, i, all) => i === all.length - 1 || m.time < end);
  return {
    rows: moments.map(({ at, time }) => {
      const volts = stepAt(time).cellVoltage;
      const { low, high } = f.band.cellVoltage;
      return { at, expected: range(relative(low) * volts, relative(high) * volts, 'V', 'voltage') };
    }),
    remarks: [
      'Volts above the range from the start: poor contact, a cold or weak bath, or too little anode in the liquid.',
      'Volts climbing while the current stays: the anode is filming over or the clip is coming loose.',
      'Volts below the range: the part touches something, or more metal is in the liquid than planned.',
      'The supply showing constant voltage where you set constant current: it has run into the volt limit. Find out why.',
    ],
  };
}

/** The set-up as a list to tick off. */
export function setupEntries({ job, forecast, bath, units }: CardInput): Entry[] {
  const length = (m: number) => given(m, units.length, 'length');
  const out: Entry[] = [
    {
      label: 'Part',
      value: `${job.part.substrate}, ${text(forecast.area.part, units.area, 'area')} in the liquid`,
    },
  ];
  const hook = job.hook;
  if (hook)
    out.push({
      label: 'Hook',
      value: `wire of ${hook.metal}, ${length(hook.diameter)}${
        hook.coated ? ', coated except at the contact' : ''
      }`,
    });
  const { vessel } = job;
  const size = [vessel.diameter, vessel.length, vessel.width].filter((d): d is number => d !== undefined);
  out.push({
    label: 'Vessel',
    value: `${vessel.kind}, ${size.map(length).join(' x ')}${
      vessel.volume === undefined ? '' : `, ${given(vessel.volume, units.volume, 'volume')} of bath`
    }${vessel.depth === undefined ? '' : `, ${length(vessel.depth)} deep`}`,
  });
  out.push({
    label: 'Bath',
    value: [
      bath.title,
      bath.temperature === undefined ? undefined : given(bath.temperature, units.temperature, 'temperature'),
      bath.agitation,
    ]
      .filter(Boolean)
      .join(', '),
  });
  for (const anode of forecast.anodes)
    out.push({
      label: anode.name,
      value: [
        anode.metal,
        `${text(anode.area, units.area, 'area')} in the liquid`,
        anode.gap === undefined ? undefined : `${text(anode.gap, units.length, 'length', 2)} from the part`,
      ]
        .filter(Boolean)
        .join(', '),
    });
  if (job.poses)
    out.push({
      label: 'Turn',
      value: job.poses
        .map((p) => `${Math.round(p.share * 100)} % of the time at ${given(p.turn, 'deg', 'angle')}`)
        .join(', '),
    });
  return out;
}

/** Lines to write on: what the next job will want to know. */
export function blanks(units: UnitChoice): Entry[] {
  const degrees = units.temperature === 'C' ? '°C' : '°F';
  return [
    { label: 'Date', value: '' },
    { label: 'Part before', value: 'g' },
    { label: 'Part after', value: 'g' },
    { label: 'Anode before', value: 'g' },
    { label: 'Anode after', value: 'g' },
    { label: 'Bath temperature', value: degrees },
    { label: 'Bath pH', value: '' },
    { label: 'Current seen', value: 'A' },
    { label: 'Charge at the end', value: 'Ah' },
    { label: 'Current was off for', value: 's' },
    { label: 'Adhesion test', value: '' },
    { label: 'Looks', value: '' },
  ];
}
