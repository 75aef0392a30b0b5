import { checkSequence, compose, type Preparation, passageOf } from '../../src/process/index.js';
import type { Study } from '../runner.js';
import { practice } from './records.js';

const sequence = (substrate: string, deposit = 'nickel'): Preparation =>
  compose(practice, practice.substrates.get(substrate)!, practice.deposits.get(deposit)!);
const pairs = [...practice.substrates.values()].flatMap((substrate) =>
  [...practice.deposits.values()].map((deposit) => compose(practice, substrate, deposit)),
);
const isSound = (p: Preparation) =>
  p.steps.length > 0
    ? checkSequence(p.steps, passageOf(practice, p)).length === 0
    : p.reasons.length > 0 && p.reasons.every((r) => /Who can: \S/.test(r));

/** Place of the second step over that of the first, counted from one; above one where it comes later. */
const later = (substrate: string, first: string, second: string) => () => {
  const ids = sequence(substrate).steps.map((s) => s.id);
  return (ids.indexOf(second) + 1) / (ids.indexOf(first) + 1);
};
const ORDERS: [id: string, substrate: string, first: string, second: string][] = [
  ['mild-steel-soak-alkali', 'mild-steel', 'soak-alkali', 'electroclean-anodic-steel'],
  ['mild-steel-electroclean-anodic-steel', 'mild-steel', 'electroclean-anodic-steel', 'pickle-hydrochloric'],
  ['mild-steel-pickle-hydrochloric', 'mild-steel', 'pickle-hydrochloric', 'final-acid-steel'],
  [
    'stainless-steel-electroclean-stainless',
    'stainless-steel',
    'electroclean-stainless',
    'chloride-acid-nickel-strike',
  ],
  [
    'stainless-steel-chloride-acid-nickel-anodic',
    'stainless-steel',
    'chloride-acid-nickel-anodic',
    'chloride-acid-nickel-strike',
  ],
  ['zinc-die-casting-final-acid-zinc', 'zinc-die-casting', 'final-acid-zinc', 'alkaline-copper-strike'],
  [
    'old-nickel-chloride-acid-nickel-anodic',
    'old-nickel',
    'chloride-acid-nickel-anodic',
    'chloride-acid-nickel-strike',
  ],
  ['cast-iron-pickle-cast-iron', 'cast-iron', 'pickle-cast-iron', 'rinse-long'],
  ['hardened-steel-stress-relieve', 'hardened-steel', 'stress-relieve', 'electroclean-anodic-steel'],
  ['hardened-steel-nickel', 'hardened-steel', 'nickel', 'bake-embrittlement'],
  ['brass-electroclean-brass', 'brass', 'electroclean-brass', 'final-acid-copper'],
  ['old-chromium-strip-chromium', 'old-chromium', 'strip-chromium', 'electroclean-nickel'],
];

/** Ends of the electrocleaning windows that the card takes over as printed. */
const CLEANING: [id: string, substrate: string, end: 'from' | 'to'][] = [
  ['steel-low', 'mild-steel', 'from'],
  ['copper-low', 'copper', 'from'],
  ['copper-high', 'copper', 'to'],
  ['brass-low', 'brass', 'from'],
  ['brass-high', 'brass', 'to'],
  ['zinc-high', 'zinc-die-casting', 'to'],
  ['nickel-low', 'old-nickel', 'from'],
  ['nickel-high', 'old-nickel', 'to'],
  ['pewter-low', 'pewter', 'from'],
  ['pewter-high', 'pewter', 'to'],
];
const AMPERE_PER_SQUARE_FOOT = 1 / 0.09290304;
const cleaning = (substrate: string) =>
  sequence(substrate).steps.find((s) => s.kind === 'electroclean')!.current!;

export const study: Study = {
  sound: () => pairs.filter(isSound).length / pairs.length,
  pairs: () => pairs.length / (14 * 9),
  offered: () => {
    const open = pairs.filter((p) => !p.substrate.refused && !p.deposit.refused);
    const refused = open.filter((p) => p.steps.length === 0).length;
    return (open.length - refused) / Math.max(1, refused);
  },
  ...Object.fromEntries(
    ORDERS.map(([id, substrate, first, second]) => [id, later(substrate, first, second)]),
  ),
  ...Object.fromEntries(
    CLEANING.map(([id, substrate, end]) => [
      `clean-${id}`,
      () => cleaning(substrate)[end] / AMPERE_PER_SQUARE_FOOT,
    ]),
  ),
};
