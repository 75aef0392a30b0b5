import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';
import type { Step } from '../records/shapes.js';

export interface SubstanceSheet {
  id: string;
  title: string;
  harm: string;
  wear: string;
  spill: string;
  source: string;
}

export interface HazardSheet {
  substances: SubstanceSheet[];
  /** Pairs of things on this bench that must never meet. */
  neverTogether: [string, string][];
  electric: string[];
  heat: string[];
  /** First things first, always shown. */
  always: string[];
}

const ALWAYS = [
  'Local codes, the safety data sheet of each bath (section 4 first aid, 6 spills, 8 protection) and licensed disposal come first.',
  'Know the number of the poison line and keep a phone and running water within reach.',
  'No food, drink or smoking at the bench; children and animals out.',
];

/** Everything the steps of a job bring onto the bench: what each harms, what must not meet, current and heat. */
export function hazardSheet(practice: Practice, steps: readonly Step[]): HazardSheet {
  const words = new Set<string>(steps.flatMap((s) => s.bath.contains));
  if (steps.some((s) => /vinegar|acetate/i.test(s.bath.text))) words.add('acetic');
  const present = [...practice.substances.values()].filter((s) => words.has(s.id));
  const pairs = present.flatMap((s) =>
    s.never.map((other): [string, string] => [
      s.title,
      practice.substances.get(other)?.title ?? other.replaceAll('-', ' '),
    ]),
  );
  // Acid beside alkali is said once, not from both sides.
  const neverTogether = pairs.filter(([a, b], i) => !pairs.slice(0, i).some(([c, d]) => c === b && d === a));
  const hottest = Math.max(
    ...steps.filter((s) => s.bath.ph !== undefined).map((s) => s.temperature?.to ?? 0),
  );
  return {
    substances: present.map(({ id, title, harm, wear, spill, cite }) => ({
      id,
      title,
      harm,
      wear,
      spill,
      source: readCite(practice.sources, cite).text,
    })),
    neverTogether,
    electric: [
      'Supply with isolated output below 60 V DC and a current limit; car chargers without limit can throw tens of amperes.',
      'Mains heater and pump on a 30 mA residual-current device; drip loops in the leads; dry hands at the supply.',
      'A fuse in each lead sized for the wire; a short heats thin hooks red.',
    ],
    heat:
      hottest > 273.15 + 45
        ? [
            'Hot bath: a heater that runs dry starts a fire; level switch or never unattended; cover against mist and loss.',
            'Hot cleaner scalds and blinds: lower parts in slowly, face away.',
          ]
        : [],
    always: ALWAYS,
  };
}

/** Whether two chemistries of the bench must never meet, by the table (either way round). */
export function mustNotMeet(practice: Practice, one: string, other: string): boolean {
  const bars = (a: string, b: string) => practice.substances.get(a)?.never.includes(b) === true;
  return bars(one, other) || bars(other, one);
}
