import { unknownName } from '../../library/index.js';
import { done, type Outcome, refused } from '../../units/index.js';
import type { Practice } from '../records/practice.js';
import type { Ranked } from './identify.js';

export type Answer = 'yes' | 'conditions' | 'refer';

export interface Gate {
  answer: Answer;
  reasons: { answer: Answer; reason: string; who: string; source: string }[];
}

export interface Circumstances {
  /** Ids of the gate records that apply, e.g. `skin`, `spring`. */
  flags: readonly string[];
  /** What the part is made of, most probable first. */
  metals: readonly Ranked[];
  /** Tensile strength [Pa] where known. */
  strength?: number;
}

/** Above this a metal is known well enough to act on, above the other it may not be ignored. Our own judgement. */
const SURE = 0.9;
const POSSIBLE = 0.05;
/** Strength from which embrittlement relief is needed, and above which nobody should plate at a bench [Pa] (ASTM B850, B633 scope). */
const NEEDS_BAKE = 1000e6;
const NEVER = 1700e6;

/** Yes, yes with conditions, or refer out: the strictest of everything that applies, each with its reason. */
export function gate(practice: Practice, { flags, metals, strength }: Circumstances): Outcome<Gate> {
  const unknown = flags.filter((f) => !practice.gate.has(f));
  if (unknown.length > 0)
    return refused(...unknown.map((f) => unknownName(f, practice.gate.keys(), 'circumstance', 'flags')));

  const reasons: Gate['reasons'] = flags.map((flag) => {
    const { answer, reason, who, cite } = practice.gate.get(flag)!;
    return { answer, reason, who, source: cite };
  });
  const own = (answer: Answer, reason: string, who = '', source = 'judgement') =>
    reasons.push({ answer, reason, who, source });

  const best = metals[0];
  if (best && best.probability < SURE)
    own(
      'conditions',
      `The metal is not certain (${best.name} ${Math.round(best.probability * 100)} %): make the next test first.`,
    );
  for (const metal of metals) {
    const entry = practice.substrates.get(metal.substrate);
    if (!entry?.refused || metal.probability < POSSIBLE) continue;
    const sure = metal.probability >= SURE;
    const head = sure ? '' : `It may be ${metal.name} (${Math.round(metal.probability * 100)} %). `;
    own(sure ? 'refer' : 'conditions', head + entry.refused.reason, entry.refused.who, entry.cite);
  }
  const zinc = metals.find((m) => m.substrate === 'zinc-die-casting');
  if (zinc && zinc.probability >= POSSIBLE)
    own(
      'conditions',
      'A zinc casting only with a cyanide-free alkaline copper strike whose maker names zinc, after a trial; else refer out.',
      'A licensed shop with a copper strike for zinc die castings.',
      'astm-b252 @ scope as abstracted',
    );
  const chromeOn = flags.includes('chromium')
    ? metals.find(
        (m) =>
          ['zinc-die-casting', 'aluminium', 'magnesium'].includes(m.substrate) && m.probability >= POSSIBLE,
      )
    : undefined;
  if (chromeOn)
    own(
      'refer',
      `Chromium over what may be ${chromeOn.name}: the acid that strips it destroys the part.`,
      'A chromium shop that strips and plates zinc and aluminium castings.',
      'strip-article',
    );
  const hard = metals.find((m) => m.substrate === 'hardened-steel');
  if ((hard && hard.probability >= POSSIBLE) || (strength !== undefined && strength >= NEEDS_BAKE))
    own(
      strength !== undefined && strength > NEVER ? 'refer' : 'conditions',
      strength !== undefined && strength > NEVER
        ? 'Steel above 1700 MPa (HRC 46) is not to be electroplated without special leave.'
        : 'It may be hard steel: only with the stress relief and the bake after plating.',
      'A plating shop that certifies embrittlement relief.',
      'astm-b633 @ scope as excerpted',
    );
  const order: Answer[] = ['yes', 'conditions', 'refer'];
  const answer = order[Math.max(0, ...reasons.map((r) => order.indexOf(r.answer)))]!;
  return done({ answer, reasons });
}
