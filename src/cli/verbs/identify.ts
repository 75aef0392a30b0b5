import {
  type Density,
  densityByWeighing,
  gate,
  type Hollow,
  identify as rank,
  readCite,
} from '../../process/index.js';
import { printQuantity } from '../../units/index.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

const HOLLOW: readonly Hollow[] = ['solid', 'unknown', 'hollow'];

/** What metal a part is, from tests a bench can make, and whether to take the job. */
export const identify: Verb = {
  name: 'identify',
  summary:
    'What metal is it: ranked by what tests showed, with the test to make next; and should the job be taken.',
  arguments: [],
  options: [
    { flags: '--seen <list>', description: 'e.g. "magnet=none,scratch=yellow"; --list shows the tests' },
    { flags: '--air <mass>', description: 'weight in air, e.g. "52.31 g"' },
    { flags: '--water <mass>', description: 'weight hanging in water, e.g. "46.15 g"' },
    { flags: '--scale <mass>', description: 'one step of the scale, "0.01 g" when left out' },
    { flags: '--water-temperature <temperature>', description: '"20 C" when left out' },
    { flags: '--hollow <word>', description: 'solid, unknown or hollow; unknown when left out' },
    { flags: '--circumstances <list>', description: 'e.g. "skin,spring"; --list shows them' },
    { flags: '--strength <pressure>', description: 'tensile strength of the steel, e.g. "1100 MPa"' },
    { flags: '--list', description: 'the tests with their outcomes, and the circumstances' },
  ],
  run: async (_args, options) => {
    const reader = new OptionReader(options);
    return reader.flag('list') ? list() : decide(reader);
  },
};

function list(): VerbResult {
  const { identification, gate: rules } = shippedPractice();
  const tests = identification.tests.map(({ id, title, how, caution, outcomes }) => ({
    id,
    title,
    how,
    caution,
    outcomes,
  }));
  const circumstances = [...rules.values()].map(({ id, title }) => ({ id, title }));
  return {
    status: 'done',
    json: { tests, circumstances },
    text: [
      ...tests.map(
        (t) => `${t.id} = ${t.outcomes.join(' | ')}\n    ${t.how}${t.caution ? ` ${t.caution}` : ''}`,
      ),
      `weighing: --air and --water\n    ${identification.weighing.how}`,
      'Circumstances',
      ...circumstances.map((c) => `  ${c.id.padEnd(15)} ${c.title}`),
    ].join('\n'),
  };
}

function decide(reader: OptionReader): VerbResult {
  const practice = shippedPractice();
  const seen = Object.fromEntries(
    reader.list('seen').map((pair) => {
      const [test = '', outcome = ''] = pair.split('=').map((s) => s.trim());
      return [test, outcome];
    }),
  );
  const hollow = reader.word('hollow', HOLLOW, 'unknown');
  const density = readDensity(reader);
  const strength = reader.quantity('strength', 'pressure', { positive: true });
  const identity = reader.take(rank(practice.identification, { seen, hollow, ...(density && { density }) }));
  const decision =
    identity &&
    reader.take(
      gate(practice, {
        flags: reader.list('circumstances'),
        metals: identity.ranked,
        ...(strength !== undefined && { strength }),
      }),
    );
  if (reader.problems.length > 0 || !identity || !decision)
    return { status: 'refused', problems: reader.problems };

  const reasons = decision.reasons.map((r) => ({ ...r, source: readCite(practice.sources, r.source).text }));
  const percent = (p: number) => `${(100 * p).toFixed(p < 0.1 ? 1 : 0)} %`;
  const [next] = identity.next;
  return {
    status: 'done',
    json: { ...identity, ...(density && { density }), gate: { answer: decision.answer, reasons } },
    text: [
      ...(density
        ? [
            `density ${printQuantity(density.value, 'g/cm3', 'density')} +- ${printQuantity(1.645 * density.sigma, 'g/cm3', 'density', 1)} (9 in 10)`,
          ]
        : []),
      ...identity.ranked
        .filter((r) => r.probability > 0.005)
        .map((r) => `${percent(r.probability).padStart(6)}  ${r.name}`),
      ...(identity.contradictory
        ? [
            'The tests contradict each other: a plated part, two metals, or a slip. Repeat them on bare metal.',
          ]
        : []),
      ...(next && identity.doubt > 0.3
        ? [
            `Next: ${next.title} (tells ${next.bits.toFixed(2)} of ${identity.doubt.toFixed(2)} bit). ${next.how} ${next.caution}`.trim(),
          ]
        : []),
      `Take the job: ${{ yes: 'yes', conditions: 'yes, with conditions', refer: 'no, refer out' }[decision.answer]}`,
      ...reasons.map((r) => `  - ${r.reason}${r.who ? ` Who can: ${r.who}` : ''}`),
    ].join('\n'),
  };
}

function readDensity(reader: OptionReader): Density | undefined {
  if (reader.text('air') === undefined && reader.text('water') === undefined) return undefined;
  const air = reader.quantity('air', 'mass', { required: true });
  const water = reader.quantity('water', 'mass', { required: true });
  const step = reader.quantity('scale', 'mass', { positive: true }) ?? 1e-5;
  const temperature = reader.quantity('water-temperature', 'temperature') ?? 293.15;
  if (air === undefined || water === undefined) return undefined;
  if (temperature < 273.15 || temperature > 373.15) {
    reader.problems.push({
      code: 'out-of-range',
      path: '--water-temperature',
      message: 'Water is liquid between 0 and 100 C.',
    });
    return undefined;
  }
  return reader.take(densityByWeighing({ air, water, step, temperature }));
}
