import { nearestNames } from '../../library/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import type { Identification } from '../records/shapes-intake.js';
import type { Density } from './density.js';
import { densityLikelihood, type Hollow } from './likelihood.js';

export interface Evidence {
  /** Outcome by test id, e.g. `{ magnet: 'none', scratch: 'yellow' }`. */
  seen: Readonly<Record<string, string>>;
  density?: Density;
  hollow: Hollow;
}

export interface Ranked {
  id: string;
  name: string;
  substrate: string;
  probability: number;
}

export interface NextTest {
  id: string;
  title: string;
  how: string;
  caution: string;
  /** Expected loss of doubt [bit]. */
  bits: number;
  minutes: number;
  scar: 0 | 1 | 2;
}

export interface Identity {
  /** Most probable first; probabilities sum to 1. */
  ranked: Ranked[];
  /** Doubt left [bit]: 0 is certainty, one bit is an even choice of two. */
  doubt: number;
  /** Tests not yet done, the one that is most worth its time first. */
  next: NextTest[];
  /** True where no metal of the list explains what was seen. */
  contradictory: boolean;
}

/**
 * Ranks the metals by Bayes' rule: prior times the chance of each outcome, tests taken as independent given the metal
 * (they nearly are; the probabilities are estimates, so a 90 % here means "probably", not nine in ten counted parts).
 */
export function identify(table: Identification, evidence: Evidence): Outcome<Identity> {
  const problems = checkSeen(table, evidence.seen);
  if (problems.length > 0) return refused(...problems);

  const raw = table.metals.map((metal) => metal.prior * likelihood(table, metal, evidence));
  const posterior = normalise(raw);
  return done({
    ranked: rankMetals(table, evidence),
    doubt: entropy(posterior),
    next: nextTests(table, evidence, posterior),
    contradictory: isContradictory(table, evidence, raw),
  });
}

/** The metals by their probability, for evidence that names only tests and outcomes of the table. */
export function rankMetals(table: Identification, evidence: Evidence): Ranked[] {
  const posterior = normalise(table.metals.map((metal) => metal.prior * likelihood(table, metal, evidence)));
  return table.metals
    .map(({ id, name, substrate }, i) => ({ id, name, substrate, probability: posterior[i]! }))
    .sort((a, b) => b.probability - a.probability);
}

function checkSeen(table: Identification, seen: Evidence['seen']): Problem[] {
  return Object.entries(seen).flatMap(([id, outcome]): Problem[] => {
    const test = table.tests.find((t) => t.id === id);
    const names = test ? test.outcomes : table.tests.map((t) => t.id);
    if (test?.outcomes.includes(outcome)) return [];
    const typed = test ? outcome : id;
    return [
      {
        code: test ? 'outcome-unknown' : 'test-unknown',
        path: id,
        message: test ? `"${outcome}" is no outcome of the test ${id}.` : `There is no test "${id}".`,
        hint: `${test ? 'It shows one of' : 'Nearest'}: ${(test ? names : nearestNames(typed, names)).join(', ')}.`,
      },
    ];
  });
}

function likelihood(
  table: Identification,
  metal: Identification['metals'][number],
  evidence: Evidence,
): number {
  let product = evidence.density
    ? densityLikelihood(metal, evidence.density, evidence.hollow, table.weighing)
    : 1;
  for (const [id, outcome] of Object.entries(evidence.seen)) {
    const test = table.tests.find((t) => t.id === id)!;
    product *= test.given[metal.id]![test.outcomes.indexOf(outcome)]!;
  }
  return product;
}

function normalise(weights: readonly number[]): number[] {
  const sum = weights.reduce((a, b) => a + b, 0);
  return weights.map((w) => w / sum);
}

/** Shannon entropy [bit]. */
export const entropy = (p: readonly number[]): number =>
  p.reduce((h, x) => (x > 0 ? h - x * Math.log2(x) : h), 0);

/**
 * The evidence is contradictory where the listed metals together explain it a hundred times worse than the best outcome
 * each test could have shown: a plated part, two metals, or a slip of the eye.
 */
function isContradictory(table: Identification, evidence: Evidence, raw: number[]): boolean {
  const before = table.metals.map((metal) => metal.prior);
  const tests = Object.entries(evidence.seen).map(([id, outcome]) => {
    const test = table.tests.find((t) => t.id === id)!;
    return { test, k: test.outcomes.indexOf(outcome) };
  });
  if (tests.length < 2) return false;
  const prior = normalise(before);
  const chance = raw.reduce((a, b) => a + b, 0) / before.reduce((a, b) => a + b, 0);
  const densityPart = evidence.density
    ? table.metals.reduce(
        (sum, m, i) =>
          sum + prior[i]! * densityLikelihood(m, evidence.density!, evidence.hollow, table.weighing),
        0,
      )
    : 1;
  const apart = tests.reduce(
    (product, { test, k }) =>
      product * table.metals.reduce((sum, m, i) => sum + prior[i]! * test.given[m.id]![k]!, 0),
    densityPart,
  );
  return chance < apart / 20;
}

/** A minute at the bench and a visible mark, in bits a person would pay for them. Our own judgement. */
const BIT_PER_MINUTE = 0.02;
const BIT_PER_SCAR = [0, 0.03, 0.15];

function nextTests(table: Identification, evidence: Evidence, posterior: readonly number[]): NextTest[] {
  const doubt = entropy(posterior);
  const tests = table.tests
    .filter((t) => !(t.id in evidence.seen))
    .map(({ id, title, how, caution, minutes, scar, outcomes, given }): NextTest => {
      const columns = outcomes.map((_, k) => table.metals.map((m) => given[m.id]![k]!));
      return { id, title, how, caution, minutes, scar, bits: expectedGain(doubt, posterior, columns) };
    });
  if (!evidence.density) tests.push(weighingGain(table, posterior, doubt, evidence.hollow));
  const worth = (t: NextTest) => t.bits - BIT_PER_MINUTE * t.minutes - BIT_PER_SCAR[t.scar]!;
  return tests.sort((a, b) => worth(b) - worth(a));
}

/** Mutual information of a test and the metal [bit]; `columns[k][i]` is the chance of outcome k for metal i. */
export function expectedGain(doubt: number, p: readonly number[], columns: readonly number[][]): number {
  let left = 0;
  for (const column of columns) {
    const joint = column.map((c, i) => c * p[i]!);
    const chance = joint.reduce((a, b) => a + b, 0);
    if (chance > 0) left += chance * entropy(joint.map((j) => j / chance));
  }
  return Math.max(0, doubt - left);
}

/** What weighing would tell, for a part of 20 g on a 0.01 g scale: density good to about half a per cent. */
function weighingGain(table: Identification, p: readonly number[], doubt: number, hollow: Hollow): NextTest {
  const RELATIVE = 0.005;
  const edges = Array.from({ length: 301 }, (_, k) => 1000 * 20 ** (k / 300));
  const columns = edges.slice(1).map((high, k) => {
    const value = Math.sqrt(high * edges[k]!);
    const measured = { value, sigma: value * RELATIVE, volume: Number.NaN };
    return table.metals.map(
      (m) => densityLikelihood(m, measured, hollow, table.weighing) * (high - edges[k]!),
    );
  });
  const { title, how, minutes } = table.weighing;
  return {
    id: 'weighing',
    title,
    how,
    caution: '',
    minutes,
    scar: 0,
    bits: expectedGain(doubt, p, columns),
  };
}
