import { findSubstance, makeUp, readAqueousRecords, type Wanted } from '../../aqueous/index.js';
import {
  done,
  type Outcome,
  type Problem,
  parseQuantity,
  plain,
  printQuantity,
  refused,
} from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

type Options = Record<string, string | boolean | undefined>;

/** Weights of the salts for a volume of bath. */
export const makeup: Verb = {
  name: 'makeup',
  summary: 'What to weigh for a volume of bath, from any hydrate and purity, water last.',
  arguments: ['<salts...>'],
  options: [
    { flags: '--volume <quantity>', description: 'of finished bath, e.g. "500 mL" or "1 gal(US)"' },
    { flags: '--scale <quantity>', description: 'step of the scale, e.g. "0.1 g"; 0.01 g when left out' },
    { flags: '--temperature <quantity>', description: 'to make it up at, e.g. "20 C"' },
  ],
  run: async (args, options) => compute(args, options),
};

/** One salt as typed: `NiSO4.6H2O=300 g/L`, with the form at hand after `@` and its purity: `=300 g/L@NiSO4.7H2O 98 %`. */
function readSalt(text: string, path: string): Outcome<Wanted> {
  const match = /^([^=]+)=([^@]+)(?:@(\S+)?\s*(.*))?$/.exec(text);
  if (!match)
    return refused({
      code: 'not-a-salt',
      path,
      message: `"${text}" names no amount.`,
      hint: 'Write "NiSO4.6H2O=300 g/L", and for another form on the shelf "NiSO4.6H2O=300 g/L@NiSO4.7H2O 98 %".',
    });
  const [, substance, amount, have, purity] = match;
  const mass = parseQuantity(amount!.trim(), 'massConcentration', path);
  const mole = parseQuantity(amount!.trim(), 'amountConcentration', path);
  if (!mass.ok && !mole.ok) return mass;
  const share = purity ? parseQuantity(purity, 'fraction', path) : undefined;
  if (share && !share.ok) return share;
  return done({
    substance: substance!.trim(),
    ...(mass.ok ? { concentration: mass.value } : { amount: mole.ok ? mole.value : 0 }),
    ...(have && { have }),
    ...(share?.ok && { purity: share.value }),
  });
}

function compute(args: string[], options: Options): VerbResult {
  const read = readAqueousRecords(shippedLibrary().others.map((f) => f.content));
  if (!read.ok) throw new Error(`the shipped records are broken: ${JSON.stringify(read.problems[0])}`);
  const problems: Problem[] = [];
  const take = <T>(outcome: Outcome<T>): T | undefined => {
    if (outcome.ok) return outcome.value;
    problems.push(...outcome.problems);
    return undefined;
  };
  const volume = take(parseQuantity(options.volume, 'volume', '--volume'));
  const scale = take(parseQuantity(options.scale ?? '0.01 g', 'mass', '--scale'));
  const temperature = take(parseQuantity(options.temperature ?? '20 C', 'temperature', '--temperature'));
  const wanted = args.flatMap((text, i) => take(readSalt(text, `salts[${i}]`)) ?? []);
  for (const w of wanted) take(findSubstance(w.substance, read.value, w.substance));
  if (problems.length > 0) return { status: 'refused', problems };
  const made = makeUp(wanted, volume!, scale!, temperature!, read.value);
  if (!made.ok) return { status: 'refused', problems: made.problems };
  const { weighings, waterFirst, waterTotal, contents, steps } = made.value;
  const json = {
    weighings: weighings.map((w) => ({
      substance: w.substance.id,
      name: w.substance.name,
      mass: w.weigh,
      exact: w.exact,
      rounding: w.rounding,
    })),
    waterFirst,
    waterTotal,
    steps,
    ...contents,
    warnings: made.warnings,
  };
  const text = [
    ...steps.map((s, i) => `${i + 1}. ${s}`),
    '',
    ...Object.entries(contents.metal).map(([m, c]) => `${m}: ${plain(c)} g/L`),
    `density ${printQuantity(contents.density, 'g/mL', 'density', 4)}, water in all about ${printQuantity(waterTotal, 'L', 'volume')}`,
    ...made.warnings.map((w) => `note: ${w.message}${w.hint ? ` ${w.hint}` : ''}`),
  ].join('\n');
  return { status: 'done', json, text };
}
