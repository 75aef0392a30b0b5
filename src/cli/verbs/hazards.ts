import { type GasReport, gases, hazardSheet, prepare, sayTime } from '../../process/index.js';
import { plain } from '../../units/index.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** Gases of a job against its room, substances on the bench, what must never meet. */
export const hazards: Verb = {
  name: 'hazards',
  summary: 'Gases of a job against its room, what stands on the bench and what must never meet.',
  arguments: [],
  options: [
    { flags: '--substrate <name>', description: 'metal of the part, as in prepare --list' },
    { flags: '--deposit <name>', description: 'what shall lie on it' },
    { flags: '--current <current>', description: 'e.g. "2 A"' },
    { flags: '--duration <time>', description: 'e.g. "2 h"; "1 h" when left out' },
    {
      flags: '--efficiency <share>',
      description: 'of the current at the part that lays metal; "95 %" when left out',
    },
    {
      flags: '--anode-efficiency <share>',
      description: 'that dissolves metal; "100 %" when left out, "0 %" for an inert anode',
    },
    { flags: '--room <volume>', description: '"30 m3" when left out' },
    { flags: '--air-changes <rate>', description: '"0 1/h" (a closed room) when left out' },
    { flags: '--temperature <temperature>', description: 'of the air; "20 C" when left out' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const practice = shippedPractice();
  const substrate = reader.required('substrate');
  const deposit = reader.required('deposit');
  const current = reader.quantity('current', 'current', { required: true, positive: true });
  const duration = reader.quantity('duration', 'time', { positive: true }) ?? 3600;
  const cathodeEfficiency = reader.share('efficiency', 0.95);
  const anodeEfficiency = reader.share('anode-efficiency', 1);
  const volume = reader.quantity('room', 'volume', { positive: true }) ?? 30;
  const airChanges = reader.quantity('air-changes', 'frequency') ?? 0;
  const temperature = reader.quantity('temperature', 'temperature', { positive: true }) ?? 293.15;
  const found =
    substrate !== undefined && deposit !== undefined && reader.take(prepare(practice, substrate, deposit));
  if (reader.problems.length > 0 || !found || current === undefined)
    return { status: 'refused', problems: reader.problems };
  if (found.steps.length === 0)
    return {
      status: 'refused',
      problems: found.reasons.map((message) => ({ code: 'combination-refused', path: '--deposit', message })),
    };

  const plating = found.steps.filter((s) => s.kind === 'plate');
  const chloride = plating.some((s) => s.bath.contains.includes('chloride'));
  const air = gases(practice, {
    current,
    cathodeEfficiency,
    anodeEfficiency,
    chloride,
    temperature,
    room: { volume, airChanges },
    duration,
  });
  const sheet = hazardSheet(practice, found.steps);
  return {
    status: 'done',
    json: { gases: air, ...sheet },
    text: [
      ...air.flatMap(sayGas),
      ...sheet.substances.map((s) => `${s.title}: ${s.harm}. Wear: ${s.wear}. Spill: ${s.spill}.`),
      'Never together:',
      ...sheet.neverTogether.map(([a, b]) => `  ${a} and ${b}`),
      ...sheet.electric,
      ...sheet.heat,
      ...sheet.always,
    ].join('\n'),
  };
}

function sayGas(g: GasReport): string[] {
  if (!(g.rate > 0)) return [];
  const perHour = g.rate * 3600;
  const head = `${g.gas}: ${plain(perHour * 1e3)} L/h, ${plain(g.share * 1e6)} ppm in the room at the end: ${g.verdict}`;
  if (!g.limit) return [head];
  const reached = g.limit.reachedAfter;
  return [
    head,
    `    limit ${plain(g.limit.share * 1e6)} ppm (${g.limit.meaning}), ` +
      (Number.isFinite(reached) ? `reached after ${sayTime(reached)}` : 'never reached') +
      `; ${plain(g.limit.freshAir * 3600)} m3/h of fresh air hold it`,
    `    ${g.says}`,
  ];
}
