import {
  benchText,
  checkSequence,
  passageOf,
  prepareMixed,
  reportStep,
  withStrength,
} from '../../process/index.js';
import { type Problem, parseQuantity } from '../../units/index.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** The steps that take a part from worn to plated, or why not and who can. */
export const prepare: Verb = {
  name: 'prepare',
  summary: 'Preparation steps for a metal and a deposit, or the reason why not and who can.',
  arguments: [],
  options: [
    { flags: '--substrate <name>', description: 'metal of the part, e.g. brass' },
    {
      flags: '--also <list>',
      description: 'other metals that show at worn places or seams, e.g. "copper,old-nickel"',
    },
    { flags: '--deposit <name>', description: 'what shall lie on it, e.g. nickel' },
    {
      flags: '--strength <pressure>',
      description: 'tensile strength of the steel, e.g. "1150 MPa"; sets the bakes',
    },
    { flags: '--list', description: 'the names that are known' },
  ],
  run: async (_args, options) => {
    if (options.list === true) return list();
    const problems = (['substrate', 'deposit'] as const).flatMap((name) => missing(name, options[name]));
    if (problems.length > 0) return { status: 'refused', problems };
    const also = String(options.also ?? '')
      .split(',')
      .map((name) => name.trim())
      .filter(Boolean);
    return sequence([String(options.substrate), ...also], String(options.deposit), options.strength);
  },
};

function missing(name: string, given: unknown): Problem[] {
  if (typeof given === 'string') return [];
  const message = `No ${name} was given.`;
  return [
    {
      code: 'option-missing',
      path: `--${name}`,
      message,
      hint: 'platewright prepare --list shows the names.',
    },
  ];
}

function list(): VerbResult {
  const { substrates, deposits } = shippedPractice();
  const told = (map: typeof substrates | typeof deposits) =>
    [...map.values()].map(
      (e) => `  ${e.id.padEnd(20)} ${e.name}${e.refused ? ' (refused, says who can)' : ''}`,
    );
  return {
    status: 'done',
    json: { substrates: [...substrates.keys()], deposits: [...deposits.keys()] },
    text: ['Substrates', ...told(substrates), 'Deposits', ...told(deposits)].join('\n'),
  };
}

function sequence(substrates: string[], deposit: string, strength: unknown): VerbResult {
  const practice = shippedPractice();
  const found = prepareMixed(practice, substrates, deposit);
  if (!found.ok) return { status: 'refused', problems: found.problems };
  const preparation = found.value;
  const { reasons, cautions } = preparation;
  const pressure = strength === undefined ? undefined : parseQuantity(strength, 'pressure', '--strength');
  if (pressure && !pressure.ok) return { status: 'refused', problems: pressure.problems };
  const heated =
    pressure && preparation.steps.length > 0
      ? withStrength(practice, preparation.steps, preparation.deposit.id, pressure.value)
      : undefined;
  if (heated && !heated.ok) return { status: 'refused', problems: heated.problems };
  const steps = heated?.value ?? preparation.steps;
  const faults = steps.length > 0 ? checkSequence(steps, passageOf(practice, preparation)) : [];
  if (faults.length > 0)
    throw new Error(`the sequence breaks a rule: ${faults[0]!.path} ${faults[0]!.message}`);
  const names = preparation.exposed.map((s) => s.name).join(' with ');
  const head = `${names} to ${preparation.deposit.name.toLowerCase()}`;
  return {
    status: 'done',
    json: {
      substrate: preparation.substrate.id,
      ...(substrates.length > 1 && { exposed: preparation.exposed.map((s) => s.id) }),
      deposit: preparation.deposit.id,
      refused: steps.length === 0,
      reasons,
      steps: steps.map((step) => reportStep(practice, step)),
      cautions,
    },
    text: [
      steps.length > 0 ? head : `${head}: not at this bench.`,
      ...reasons,
      ...benchText(steps),
      'Cautions',
      ...cautions.map((c) => `  - ${c}`),
    ].join('\n'),
  };
}
