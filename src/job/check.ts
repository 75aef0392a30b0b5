import { checkShape } from '../geometry/index.js';
import { findBath, type Library } from '../library/index.js';
import { prepare, readPractice } from '../process/index.js';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import type { Job } from './schema.js';

/** What can be said against a job before anything is computed: shapes, numbers, and whether it may be plated at all. */
export function checkJob(job: Job, library: Library): Outcome<Job> {
  const problems: Problem[] = [];
  const solids = [
    ['part', job.part.solid] as const,
    ...(['anodes', 'shields', 'robbers'] as const).flatMap((list) =>
      job[list].map((body, i) => [`${list}[${i}]`, body.solid] as const),
    ),
  ];
  for (const [path, solid] of solids)
    if ('shape' in solid) problems.push(...checkShape(solid.shape, `${path}.solid.shape`));
  problems.push(...checkNumbers(job));
  const allowed = mayBePlated(job, library);
  if (!allowed.ok) problems.push(...allowed.problems);
  return problems.length ? refused(...problems) : done(job, allowed.ok ? allowed.warnings : []);
}

function checkNumbers(job: Job): Problem[] {
  const problems: Problem[] = [];
  const must = (good: boolean, path: string, message: string, hint: string): void => {
    if (!good) problems.push({ code: 'number-absurd', path, message, hint });
  };
  const { aim, hook, supply } = job;
  const um = aim.thickness * 1e6;
  must(
    um > 0 && um <= 1000,
    'aim.thickness',
    `The aim is ${um} um.`,
    'Wear coats are 5 to 50 um; up to 1000 um can be asked for.',
  );
  must(
    aim.share > 0 && aim.share <= 1,
    'aim.share',
    `The share is ${aim.share * 100} %.`,
    'It lies above 0 and up to 100 %.',
  );
  if (hook)
    must(
      hook.diameter > 0 && hook.diameter < 0.02,
      'hook.diameter',
      `The hook is ${hook.diameter * 1e3} mm thick.`,
      'Hooks are 0.2 to 5 mm.',
    );
  if (supply) {
    must(
      supply.maxCurrent > 0,
      'supply.maxCurrent',
      `The supply gives ${supply.maxCurrent} A.`,
      'Give the largest current it can be set to.',
    );
    must(
      supply.maxVoltage > 0 && supply.maxVoltage <= 60,
      'supply.maxVoltage',
      `The supply gives ${supply.maxVoltage} V.`,
      'Plating needs a few volts; above 60 V is no longer extra-low voltage and has no place at a wet bench.',
    );
  }
  const open = job.steps.filter((s) => s.time === undefined).length;
  must(
    open <= 1,
    'steps',
    `${open} steps have no time.`,
    'One step may be left open; it lasts until the aim is reached.',
  );
  job.steps.forEach((step, i) => {
    const path = `steps[${i}]`;
    if (step.time !== undefined)
      must(step.time > 0, `${path}.time`, `The step lasts ${step.time} s.`, 'Give a time above zero.');
    must(
      !(step.rampTo && step.time === undefined),
      `${path}.time`,
      'A ramp needs a time.',
      'Say how long the change takes.',
    );
    must(!(step.rampTo && step.pulse), path, 'A step is both a ramp and pulsed.', 'Make two steps of it.');
    for (const drive of [step.drive, step.rampTo]) {
      if (!drive) continue;
      const [key, value] = Object.entries(drive)[0]!;
      must(
        value > 0 && value < 1e5,
        `${path}.drive.${key}`,
        `${key} is ${value}.`,
        'Give a current, current density or voltage above zero.',
      );
    }
  });
  const shares = job.poses?.reduce((sum, p) => sum + p.share, 0) ?? 1;
  must(
    Math.abs(shares - 1) < 0.01,
    'poses',
    `The shares of the poses sum to ${(100 * shares).toFixed(0)} %.`,
    'They must sum to 100 %.',
  );
  return problems;
}

/** Whether this deposit may go on this substrate; a combination this bench should not do is refused with who can. */
function mayBePlated(job: Job, library: Library): Outcome<true> {
  const bath = findBath(library, job.bath.record, 'bath.record');
  if (!bath.ok) return bath;
  const practice = readPractice(library);
  if (!practice.ok) return practice;
  const deposit = library.metals.get(bath.value.metal)!.name;
  const way = prepare(practice.value, job.part.substrate, deposit);
  if (!way.ok)
    return refused(
      ...way.problems.map((p) => ({
        ...p,
        path: p.path === '--substrate' ? 'part.substrate' : 'bath.record',
      })),
    );
  const { reasons, cautions } = way.value;
  if (reasons.length)
    return refused(
      ...reasons.map((message) => ({ code: 'not-for-this-bench', path: 'part.substrate', message })),
    );
  return done(
    true,
    cautions.map((message) => ({ code: 'caution', path: 'part.substrate', message })),
  );
}
