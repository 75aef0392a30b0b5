import { unknownName } from '../../library/index.js';
import { diagnose, type Facts, factValue, symptomsOf } from '../../process/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** What is wrong: ranked causes of a symptom by this job's own numbers, the check that separates them, the remedy. */
export const trouble: Verb = {
  name: 'trouble',
  summary:
    'Ranked causes of what is seen, by the numbers of the job, with the check that separates them and the remedy.',
  arguments: ['[symptom]'],
  options: [
    { flags: '--metal <name>', description: 'show the symptoms of this deposit' },
    { flags: '--know <list>', description: 'e.g. "currentFraction=0.8, ph=4.2, stirred=no, current=2 A"' },
    { flags: '--list', description: 'the symptoms, and what a job may know' },
  ],
  run: async ([symptom], options) => {
    const reader = new OptionReader(options);
    return symptom === undefined || reader.flag('list') ? list(reader) : ask(symptom, reader);
  },
};

function list(reader: OptionReader): VerbResult {
  const practice = shippedPractice();
  const metal = reader.text('metal');
  const symptoms = metal ? symptomsOf(practice, metal) : [...practice.symptoms.values()];
  if (symptoms.length === 0) {
    const metals = new Set([...practice.symptoms.values()].flatMap((s) => s.metals));
    return { status: 'refused', problems: [unknownName(metal!, metals, 'deposit', '--metal')] };
  }
  const facts = [...practice.facts.values()];
  return {
    status: 'done',
    json: { symptoms: symptoms.map(({ id, looks, metals }) => ({ id, looks, metals })), facts },
    text: [
      ...symptoms.map((s) => `${s.id.padEnd(16)} ${s.looks} (${s.metals.join(', ')})`),
      'A job may know',
      ...facts.map((f) => `  ${f.id.padEnd(18)} ${f.title} (${f.of})`),
    ].join('\n'),
  };
}

function ask(symptom: string, reader: OptionReader): VerbResult {
  const practice = shippedPractice();
  const facts = readFacts(reader);
  const found = reader.take(diagnose(shippedLibrary(), practice, symptom, facts));
  if (reader.problems.length > 0 || !found) return { status: 'refused', problems: reader.problems };
  const { separate } = found;
  return {
    status: 'done',
    json: found,
    text: [
      found.looks,
      ...found.causes.flatMap((c) => [
        `${`${Math.round(100 * c.probability)} %`.padStart(5)}  ${c.title}`,
        ...c.because.map((b) => `         ${b}`),
        `         do: ${c.remedy}`,
      ]),
      ' 10 %  something not on this list',
      ...(separate ? [`Check first: ${separate.how} (tells whether it is: ${separate.of})`] : []),
      ...(found.unknown.length > 0
        ? [`It would help to know: ${found.unknown.map((f) => f.title).join('; ')}`]
        : []),
    ].join('\n'),
  };
}

function readFacts(reader: OptionReader): Facts {
  const { facts } = shippedPractice();
  const known: Record<string, number> = {};
  for (const pair of reader.list('know')) {
    const [id = '', text = ''] = pair.split('=').map((s) => s.trim());
    const fact = facts.get(id);
    const value = fact && factValue(fact, text);
    if (!fact) reader.problems.push(unknownName(id, facts.keys(), 'fact', '--know'));
    else if (value === undefined)
      reader.problems.push({
        code: 'fact-unreadable',
        path: `--know ${id}`,
        message: `"${text}" cannot be read: ${fact.title}.`,
        hint:
          fact.of === 'yes-no'
            ? 'yes or no'
            : fact.of === 'count'
              ? 'a number'
              : `a quantity of ${fact.of} with its unit`,
      });
    else known[id] = value;
  }
  return known;
}
