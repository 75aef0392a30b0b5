import { describe, expect, it } from 'vitest';
import { testPractice } from '../../../test/practice.js';
import type { Step } from '../records/index.js';
import { checkSequence, compose, laysMetal, type Passage, passageOf, RULES } from './index.js';
import { trace } from './trace.js';

/**
 * Faults planted into every good sequence: the checker must find each, and must find it for the right reason.
 * A fault that does not apply to a sequence (there is no silver in it, say) yields no mutants there.
 */
const practice = testPractice();
const good = [...practice.substrates.values()]
  .flatMap((substrate) =>
    [...practice.deposits.values()].map((deposit) => compose(practice, substrate, deposit)),
  )
  .filter((p) => p.steps.length > 0)
  .map((p) => ({
    name: `${p.substrate.id} + ${p.deposit.id}`,
    steps: p.steps,
    passage: passageOf(practice, p),
  }));

const step = (id: string): Step => practice.steps.get(id)!;
const without = (steps: Step[], i: number) => steps.filter((_, j) => j !== i);
const insert = (steps: Step[], i: number, ...more: Step[]) => [
  ...steps.slice(0, i),
  ...more,
  ...steps.slice(i),
];
const swap = (steps: Step[], i: number, j: number) =>
  steps.map((s, k) => (k === i ? steps[j]! : k === j ? steps[i]! : s));
const change = (steps: Step[], i: number, patch: Partial<Step>) =>
  steps.map((s, j) => (j === i ? { ...s, ...patch } : s));
const replace = (steps: Step[], i: number, other: Step) => steps.map((s, j) => (j === i ? other : s));
const where = (steps: Step[], is: (s: Step) => boolean) => steps.flatMap((s, i) => (is(s) ? [i] : []));
const containing = (what: Step['bath']['contains'][number], base = 'final-acid-copper'): Step => {
  const s = step(base);
  return { ...s, id: `planted-${what}`, bath: { ...s.bath, contains: [what] } };
};
const wet = (s: Step) => s.bath.ph !== undefined;
const beforeMetal = (steps: Step[]) => steps.findIndex(laysMetal);

type Mutants = (steps: Step[], passage: Passage) => Step[][];
interface Fault {
  mutants: Mutants;
  /** Rules of which one must speak. */
  caughtBy: string[];
}

const FAULTS: Record<string, Fault> = {
  'a rinse dropped': {
    mutants: (steps) => where(steps, (s) => s.kind === 'rinse').map((i) => without(steps, i)),
    caughtBy: ['rinse-missing'],
  },
  'a step left out': {
    mutants: (steps) =>
      where(steps, (s) =>
        ['hook', 'degrease', 'soak', 'electroclean', 'strip', 'strike', 'dry'].includes(s.kind),
      ).map((i) => without(steps, i)),
    caughtBy: [
      'step-missing',
      'film-not-opened',
      'settles-without-current',
      'strike-missing',
      'acid-bath-attacks',
      'rinse-missing',
      'wrong-ending',
      'precious-on-base',
      'barrier-missing',
      'attacks-surface',
    ],
  },
  'two neighbours swapped': {
    mutants: (steps) =>
      where(steps, (s) => s.kind !== 'rinse').flatMap((i) => {
        const j = steps.findIndex((s, k) => k > i && s.kind !== 'rinse');
        // Two steps of the same place in the order may change places, and a second acid dip may as well stand
        // between two layers of metal; nothing else may.
        const kinds = [steps[i]!.kind, steps[j]?.kind];
        const secondDip = kinds[0] === 'activate' && steps.some((s, k) => k < i && s.kind === 'acid');
        return j < 0 || kinds[0] === kinds[1] || secondDip ? [] : [swap(steps, i, j)];
      }),
    caughtBy: Object.keys(RULES),
  },
  'hydrochloric acid before silver': {
    mutants: (steps) =>
      where(steps, (s) => s.metal === 'silver' && s.kind === 'strike').map((i) =>
        insert(steps, i, step('pickle-hydrochloric'), step('rinse-first'), step('rinse-second')),
      ),
    caughtBy: ['hydrochloric-before-silver'],
  },
  'hydrochloric acid in place of the pickle before silver': {
    mutants: (steps) =>
      steps.some((s) => s.metal === 'silver')
        ? where(steps, (s) => s.kind === 'acid').map((i) => replace(steps, i, step('pickle-hydrochloric')))
        : [],
    caughtBy: ['hydrochloric-before-silver'],
  },
  'nickel, stainless, silver, tin or solder electrocleaned as anode': {
    mutants: (steps, passage) =>
      trace(steps, passage)
        .filter((v) => v.step.kind === 'electroclean' && v.surface.anodicLimit?.value === 0)
        .map((v) => change(steps, v.index, { current: { ...v.step.current!, polarity: 'anodic' } })),
    caughtBy: ['wrong-polarity'],
  },
  'copper alloys kept as anode for the whole time': {
    mutants: (steps, passage) =>
      passage.base.anodicLimit?.value === 5
        ? where(steps, (s) => s.kind === 'electroclean').map((i) =>
            change(steps, i, { current: { ...steps[i]!.current!, polarity: 'anodic' } }),
          )
        : [],
    caughtBy: ['wrong-polarity'],
  },
  'caustic on zinc, tin, solder and brass': {
    mutants: (steps, passage) =>
      passage.base.attackedBy?.caustic && !passage.covered
        ? where(steps, (s) => s.kind === 'soak' || s.kind === 'electroclean').map((i) =>
            change(steps, i, { bath: { ...steps[i]!.bath, contains: ['caustic'] } }),
          )
        : [],
    caughtBy: ['attacks-surface'],
  },
  'sulfuric or hydrochloric acid on lead': {
    mutants: (steps, passage) =>
      ['solder', 'tin', 'leaded-brass'].includes(passage.base.id)
        ? ['pickle-sulfuric', 'pickle-hydrochloric'].map((id) =>
            insert(steps, beforeMetal(steps), step(id), step('rinse-first'), step('rinse-second')),
          )
        : [],
    caughtBy: ['attacks-surface'],
  },
  'the part dries before the metal': {
    mutants: (steps) => [
      insert(steps, beforeMetal(steps), step('dry')),
      ...where(steps, (s) => laysMetal(s) && s.live === true)
        .slice(1)
        .map((i) => insert(steps, i, step('dry'))),
    ],
    caughtBy: ['dries-before-metal'],
  },
  'cyanide, fluoride, chromate or nitric acid': {
    mutants: (steps) =>
      (['cyanide', 'fluoride', 'chromate', 'nitric'] as const).flatMap((what) => [
        insert(steps, beforeMetal(steps), containing(what), step('rinse-first'), step('rinse-second')),
        insert(steps, steps.length - 1, containing(what), step('rinse-first'), step('rinse-second')),
      ]),
    caughtBy: ['never-on-this-bench'],
  },
  'entered without current': {
    mutants: (steps) =>
      where(steps, laysMetal).map((i) => {
        const { live: _, ...dead } = steps[i]!;
        return steps.map((s, j) => (j === i ? (dead as Step) : s));
      }),
    caughtBy: ['dead-entry'],
  },
  'plated as anode': {
    mutants: (steps) =>
      where(steps, laysMetal).map((i) =>
        change(steps, i, { current: { ...steps[i]!.current!, polarity: 'anodic' } }),
      ),
    caughtBy: ['wrong-polarity'],
  },
  'acid copper straight on iron, zinc, tin or solder': {
    mutants: (steps, passage) =>
      ['steel', 'hard-steel', 'cast-iron', 'zinc', 'tin', 'solder'].includes(passage.base.id)
        ? [replace(steps, beforeMetal(steps), step('copper'))]
        : [],
    caughtBy: ['settles-without-current'],
  },
  'acid nickel straight on zinc': {
    mutants: (steps, passage) =>
      passage.base.id === 'zinc' ? [replace(steps, beforeMetal(steps), step('nickel'))] : [],
    caughtBy: ['acid-bath-attacks'],
  },
  'ordinary nickel on a passive film': {
    mutants: (steps, passage) =>
      passage.base.film?.opensWith ? [change(steps, beforeMetal(steps), { bath: step('nickel').bath })] : [],
    caughtBy: ['film-not-opened'],
  },
  'the anodic opening left out': {
    mutants: (steps) => where(steps, (s) => s.opens !== undefined).map((i) => without(steps, i)),
    caughtBy: ['film-not-opened'],
  },
  'gold or tin without its barrier': {
    mutants: (steps, passage) =>
      trace(steps, passage).flatMap((v) => {
        const next = steps.findIndex((s, i) => i > v.index && laysMetal(s));
        const sinks = next >= 0 && v.surface.diffusesInto?.includes(steps[next]!.metal!);
        return laysMetal(v.step) && sinks ? [steps.filter((_, i) => i < v.index || i >= next)] : [];
      }),
    caughtBy: ['barrier-missing'],
  },
  'hard steel: no bake, a short or late or cold bake, no relief, hydrogen in the cleaner': {
    mutants: (steps, passage) => {
      if (!passage.base.hydrogen) return [];
      const last = steps.length - 1;
      const clean = steps.findIndex((s) => s.kind === 'electroclean');
      return [
        without(steps, last),
        without(steps, 0),
        change(steps, last, { time: { from: 3600, to: 7200 } }),
        change(steps, last, { pauseBefore: 24 * 3600 }),
        change(steps, last, { temperature: { from: 423.15, to: 443.15 } }),
        change(steps, clean, { current: { ...steps[clean]!.current!, polarity: 'cathodic' } }),
        insert(
          steps,
          beforeMetal(steps),
          step('pickle-hydrochloric'),
          step('rinse-first'),
          step('rinse-second'),
        ),
      ];
    },
    caughtBy: ['embrittlement', 'wrong-polarity', 'attacks-surface', 'acid-too-much'],
  },
  'soft solder, pewter or zinc baked': {
    mutants: (steps, passage) => (passage.base.heatLimit ? [[...steps, step('bake-embrittlement')]] : []),
    caughtBy: ['too-hot'],
  },
  'a long pause once active': {
    mutants: (steps) => where(steps, laysMetal).map((i) => change(steps, i, { pauseBefore: 1800 })),
    caughtBy: ['too-late'],
  },
  'rinsed for ten minutes once active': {
    mutants: (steps) => {
      const i = beforeMetal(steps) - 1;
      return steps[i]?.kind === 'rinse' ? [change(steps, i, { time: { from: 500, to: 600 } })] : [];
    },
    caughtBy: ['too-late'],
  },
  'zinc or cast iron left in acid': {
    mutants: (steps, passage) =>
      passage.base.acid || passage.base.porous
        ? where(steps, (s) => s.kind === 'activate' || s.kind === 'acid')
            .filter((i) => i < beforeMetal(steps))
            .map((i) => change(steps, i, { time: { from: 120, to: 300 } }))
        : [],
    caughtBy: ['acid-too-much'],
  },
  'strong acid on zinc': {
    mutants: (steps, passage) =>
      passage.base.acid
        ? where(steps, (s) => s.kind === 'activate')
            .filter((i) => i < beforeMetal(steps))
            .map((i) => change(steps, i, { bath: step('final-acid-copper').bath }))
        : [],
    caughtBy: ['acid-too-much'],
  },
  'tap water last before silver': {
    mutants: (steps) =>
      where(steps, (s) => s.metal === 'silver' && s.kind === 'strike').map((i) =>
        replace(steps, i - 1, step('rinse-first')),
      ),
    caughtBy: ['rinse-missing'],
  },
  'the water-break test forgotten': {
    mutants: (steps) =>
      where(steps, (s) => s.kind === 'electroclean').map((i) => change(steps, i, { test: 'looks' })),
    caughtBy: ['water-break-missing'],
  },
  'a bath without time, temperature or current': {
    mutants: (steps) =>
      where(steps, (s) => wet(s) && s.kind !== 'rinse').map((i) => {
        const { temperature: _, ...bare } = steps[i]!;
        return steps.map((s, j) => (j === i ? (bare as Step) : s));
      }),
    caughtBy: ['unbounded'],
  },
  'polishing or hooking after the cleaning': {
    mutants: (steps) => [
      insert(steps, beforeMetal(steps), step('finish-surface')),
      insert(steps, beforeMetal(steps), step('hook-up')),
    ],
    caughtBy: ['wrong-order', 'dries-before-metal'],
  },
  'cleaning at fifty amperes a square decimetre': {
    mutants: (steps) =>
      where(steps, (s) => s.kind === 'electroclean').map((i) =>
        change(steps, i, { current: { ...steps[i]!.current!, to: 5000 } }),
      ),
    caughtBy: ['too-much-current'],
  },
  'acid bath entered from an alkaline one': {
    mutants: (steps) =>
      where(steps, (s) => s.id === 'reactivate-copper').map((i) =>
        steps.filter((_, j) => j < i || j > i + 2),
      ),
    caughtBy: ['alkali-into-acid'],
  },
};

describe('planted faults', () => {
  const spoken = new Set<string>();
  it.each(Object.entries(FAULTS))('%s', (_name, { mutants, caughtBy }) => {
    let planted = 0;
    for (const { name, steps, passage } of good)
      for (const mutant of mutants(steps, passage)) {
        planted += 1;
        const codes = checkSequence(mutant, passage).map((p) => p.code);
        for (const code of codes) spoken.add(code);
        expect(
          codes.some((c) => caughtBy.includes(c)),
          `${name}: ${mutant.map((s) => s.id).join(', ')} gave ${codes.join(', ') || 'nothing'}`,
        ).toBe(true);
      }
    expect(planted).toBeGreaterThan(0);
  });

  it('makes every rule speak at least once', () => {
    expect([...Object.keys(RULES)].filter((rule) => !spoken.has(rule))).toEqual([]);
  });
});

/** What may be taken away or put in without harm, with the reason. */
const HARMLESS_LESS = {
  'pickle-hydrochloric': 'a surface without rust needs only the last acid dip',
  'pickle-sulfuric': 'a surface without rust needs only the last acid dip',
  nickel: 'an underlayer that is prudent, where the wanted metal may lie on the base all the same',
  copper: 'an underlayer that is prudent, where the wanted metal may lie on the base all the same',
};
const harmlessMore = (steps: Step[], i: number, extra: Step): boolean => {
  const before = steps[i - 1];
  const next = steps[i];
  if (extra.kind === 'rinse') return true; // one more rinse, in time
  if (extra.kind === 'mechanical' || extra.kind === 'hook') return true; // before anything wet, or another rule speaks
  const near = [before, next, ...steps.slice(i, i + 2)].filter((s) => s !== undefined);
  // The same bath twice, a second bath of the same metal, another bake.
  return near.some((s) => s.id === extra.id || (s.metal && s.metal === extra.metal) || s.kind === extra.kind);
};

describe('every single step', () => {
  it('taken away is missed, unless it is named as harmless', () => {
    const missed = new Set<string>();
    for (const { steps, passage } of good)
      for (const [i, s] of steps.entries())
        if (checkSequence(without(steps, i), passage).length === 0) missed.add(s.id);
    expect([...missed].sort()).toEqual(Object.keys(HARMLESS_LESS).sort());
  });

  it('put in anywhere is noticed, unless it is one more of the same or a rinse', () => {
    const sample = good.filter(
      ({ name }) => /\+ (nickel|silver|gold)$/.test(name) && !/^(old|nickel|bronze|gold)/.test(name),
    );
    const unnoticed: string[] = [];
    for (const { name, steps, passage } of sample)
      for (let i = 0; i <= steps.length; i++)
        for (const extra of practice.steps.values())
          if (!harmlessMore(steps, i, extra) && checkSequence(insert(steps, i, extra), passage).length === 0)
            unnoticed.push(`${name}: ${extra.id} before ${steps[i]?.id ?? 'the end'}`);
    expect(unnoticed).toEqual([]);
  });
});
