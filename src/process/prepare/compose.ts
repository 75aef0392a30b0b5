import { done, type Outcome, refused } from '../../units/index.js';
import { findDeposit, findSubstrate } from '../records/find.js';
import type { Practice } from '../records/practice.js';
import type { Deposit, Step, Substrate } from '../records/shapes.js';
import { way } from './way.js';

/** The passage of a part from worn to plated, or why this bench does not offer it. */
export interface Preparation {
  substrate: Substrate;
  deposit: Deposit;
  /** Empty where refused. */
  steps: Step[];
  /** Why not, and who can; empty where there are steps. */
  reasons: string[];
  cautions: string[];
}

/** Looks the two names up (unknown names get the nearest three) and composes the sequence. */
export function prepare(practice: Practice, substrate: string, deposit: string): Outcome<Preparation> {
  const base = findSubstrate(practice, substrate, '--substrate');
  const coat = findDeposit(practice, deposit, '--deposit');
  if (base.ok && coat.ok) return done(compose(practice, base.value, coat.value));
  return refused(...(base.ok ? [] : base.problems), ...(coat.ok ? [] : coat.problems));
}

/** Composes the sequence of one pair. Pure; the checker in check.ts judges it without knowing the routes. */
export function compose(practice: Practice, substrate: Substrate, deposit: Deposit): Preparation {
  const refusal = (reasons: string[]): Preparation => ({
    substrate,
    deposit,
    steps: [],
    reasons,
    cautions: GENERAL,
  });
  const no = [substrate.refused, deposit.refused].filter((r) => r !== undefined);
  if (no.length > 0) return refusal(no.map((r) => `${r.reason} Who can: ${r.who}`));

  const layers = way(practice, surfaceAfterRoute(practice, substrate), deposit.layers!);
  if (!layers) return refusal([noWay(practice, substrate, deposit)]);

  const silver = layers.some((step) => step.metal === 'silver');
  const opening = substrate.route!.map((id) => (silver && substrate.beforeSilver?.[id]) || id);
  const get = (id: string) => practice.steps.get(deposit.replaces?.[id] ?? id)!;
  const dry = get(substrate.gentle ? 'dry-soft' : 'dry');
  const main = [...opening.map(get), ...withReactivation(layers, get('reactivate-copper'))];
  const steps = [...withRinses(main, get), dry, ...(substrate.after ?? []).map(get)];
  return { substrate, deposit, steps, reasons: [], cautions: cautionsFor(substrate, deposit, steps) };
}

/** A route may end with a strike of its own; then its metal is what the layers begin on. */
function surfaceAfterRoute(practice: Practice, substrate: Substrate): string {
  const last = practice.steps.get(substrate.route!.at(-1)!)!;
  return last.leaves ?? substrate.surface!;
}

/** Fresh copper from an alkaline bath carries an alkaline film; an acid bath after it wants a dip between. */
function withReactivation(layers: Step[], dip: Step): Step[] {
  return layers.flatMap((step, i) => {
    const before = layers[i - 1];
    return before?.bath.ph === 'alkaline' && step.bath.ph === 'acid' ? [dip, step] : [step];
  });
}

/** After each bath the rinses its record asks for; the last is deionised. */
function withRinses(steps: Step[], get: (id: string) => Step): Step[] {
  const RINSES = {
    none: [],
    one: ['rinse-first'],
    two: ['rinse-first', 'rinse-second'],
    long: ['rinse-long', 'rinse-second'],
  };
  return steps.flatMap((step) => [step, ...RINSES[step.rinse ?? 'none'].map(get)]);
}

function noWay(practice: Practice, substrate: Substrate, deposit: Deposit): string {
  const bath = practice.steps.get(deposit.layers!.at(-1)!)!;
  const surface = practice.surfaces.get(surfaceAfterRoute(practice, substrate))!;
  const hydrogen =
    surface.hydrogen && bath.inefficient
      ? `${capital(bath.inefficient)}, and hydrogen makes this steel brittle. `
      : '';
  return (
    `${hydrogen}No sequence known here takes ${deposit.name.toLowerCase()} to ${surface.title.toLowerCase()} safely. ` +
    `Who can: a plating shop; ask for the bath and the practice it works to${substrate.practice ? ` (${substrate.practice})` : ''}.`
  );
}

const capital = (text: string) => text[0]!.toUpperCase() + text.slice(1);

const GENERAL = [
  'Local codes, the safety data sheet of each bath and licensed disposal come before anything said here.',
];

function cautionsFor(substrate: Substrate, deposit: Deposit, steps: Step[]): string[] {
  const has = (chemistry: string) => steps.some((s) => (s.bath.contains as string[]).includes(chemistry));
  const bought = steps.some((s) => s.bath.text.includes('data sheet'));
  const optional = [
    has('sulfuric') || has('hydrochloric') || has('caustic')
      ? 'Goggles, gloves and running water at hand; acid into water, never water into acid; keep acid and alkali jars apart.'
      : '',
    has('hydrochloric')
      ? 'Hydrochloric acid fumes rust every tool in the room: outdoors or under extraction, never near bleach.'
      : '',
    has('sulfuric')
      ? 'Concentrated sulfuric acid (above 15 % by weight) is restricted for the public in the EU (Regulation 2019/1148, from memory); buy it diluted.'
      : '',
    has('nickel')
      ? 'Nickel salts sensitise the skin for life and are carcinogens by breath: gloves, no mist.'
      : '',
    bought ? 'Where a ready-made bath is named, its data sheet overrules the ranges shown.' : '',
  ].filter(Boolean);
  return [...(substrate.cautions ?? []), ...(deposit.cautions ?? []), ...optional, ...GENERAL];
}
