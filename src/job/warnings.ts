import { type Problem, plain } from '../units/index.js';
import type { Case } from './plan.js';
import type { Forecast } from './result.js';

const mm2 = (area: number): string => `${plain(area * 1e6, 2)} mm2`;
const percent = (x: number): string => `${plain(100 * x, 2)} %`;

/** What a person should know before running this, from the forecast itself. */
export function warningsOf(c: Case, f: Forecast, times: readonly number[]): Problem[] {
  const { job } = c;
  const warnings: Problem[] = [];
  const say = (code: string, path: string, message: string, hint: string): void => {
    warnings.push({ code, path, message, hint });
  };
  if (f.field.status !== 'converged')
    say(
      'field-not-converged',
      '',
      `The field solve ended as "${f.field.status}".`,
      'The numbers are not to be trusted; ask for less current or check the set-up.',
    );
  if (times.some((t) => !Number.isFinite(t)))
    say(
      'aim-not-reached',
      'aim',
      `${percent(1 - job.aim.share)} of the significant surface or more grows so slowly that ${plain(job.aim.thickness * 1e6)} um is never reached; the numbers shown are for 24 hours.`,
      'Ask for a smaller share, turn the part, place an anode nearer to the recess, or mark the recess as not significant.',
    );
  if (f.burnedArea > 0.002 * f.area.part)
    say(
      'burns',
      'steps',
      `${mm2(f.burnedArea)} of the part (${percent(f.burnedArea / f.area.part)}) would burn: dark, rough or powdery.`,
      'Less current, more stirring, a warmer bath, a robber wire near the edge, or more metal in the bath.',
    );
  if (f.bareArea > 0.002 * f.area.part)
    say(
      'stays-bare',
      'steps',
      `${mm2(f.bareArea)} of the part (${percent(f.bareArea / f.area.part)}) gets too little current to cover.`,
      'Start with a short strike at two or three times the current, or bring an anode nearer to the recess.',
    );
  for (const [i, anode] of f.anodes.entries()) {
    if (anode.metal !== 'inert' && anode.passiveShare > 0.05)
      say(
        'anode-goes-passive',
        `anodes[${i}]`,
        `${percent(anode.passiveShare)} of ${anode.name} is driven beyond what it can dissolve; it goes passive, the volts climb and it makes gas${anode.chlorine > 1e-9 ? ', chlorine among it' : ''}.`,
        'A larger anode, less current, or more chloride where the bath has it.',
      );
    if (anode.chlorine > CHLORINE_NOTICED)
      say(
        'chlorine',
        `anodes[${i}]`,
        `${anode.name} makes chlorine: up to ${plain(anode.chlorine * CHLORINE, 2)} g in this run.`,
        'Use a dissolving anode large enough for the current. At a smell of bleach: current off, out, ventilate.',
      );
    if (anode.runsLeft < 3)
      say(
        'anode-wears-through',
        `anodes[${i}]`,
        `${anode.name} is through at its thinnest place after ${plain(anode.runsLeft, 2)} runs like this.`,
        'Have the next anode ready; do not let pieces drop into the bath.',
      );
  }
  const tight = f.limits[0];
  if (tight && tight.room < 0.98 && tight.what !== 'edges')
    say(
      'beyond-limit',
      'steps',
      `The current is beyond what ${tight.what} allows: ${tight.explanation}.`,
      `About ${plain(f.current * tight.room, 2)} A would be within it.`,
    );
  for (const use of f.records)
    if (use.outsideRange)
      say(
        'outside-range',
        'bath',
        `${use.title} is used outside the range it is good for: ${use.outsideRange}.`,
        'Take the number as a rough guide.',
      );
  const { supply } = job;
  if (supply?.currentStep && supply.currentStep > 0.05 * f.current)
    say(
      'supply-too-coarse',
      'supply.currentStep',
      `One step of the supply, ${plain(supply.currentStep * 1e3, 2)} mA, is ${percent(supply.currentStep / f.current)} of the current.`,
      'Read the current on a multimeter across a 0.1 ohm or 1 ohm shunt in series.',
    );
  return warnings;
}

/** Molar mass of chlorine gas [g/mol]: twice the IUPAC conventional weight 35.45. */
const CHLORINE = 70.9;
/** Chlorine one would notice [mol]: about 0.07 g, 0.8 ppm in a closed room of 30 m3 (practice notes, section 5). */
const CHLORINE_NOTICED = 1e-3;
