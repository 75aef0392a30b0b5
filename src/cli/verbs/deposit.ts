import { growthPerCharge, massPerCharge, thicknessAfter, timeToBuild } from '../../electrode/index.js';
import { chosen, findMetal, formulaMass, type Metal } from '../../library/index.js';
import {
  done,
  type Outcome,
  type Problem,
  parseQuantity,
  printQuantity,
  refused,
} from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

type Options = Record<string, string | boolean | undefined>;

/** Faraday's law alone: no bath, no shape, no field. */
export const deposit: Verb = {
  name: 'deposit',
  summary: "Thickness or time by Faraday's law alone, for an even current density.",
  arguments: [],
  options: [
    { flags: '--metal <metal>', description: 'symbol or name, e.g. Ni or nickel' },
    { flags: '--valence <number>', description: 'electrons an atom; the usual one when left out' },
    { flags: '--current-density <quantity>', description: 'e.g. "5 A/dm2"' },
    { flags: '--thickness <quantity>', description: 'wanted, e.g. "20 um"; gives the time' },
    { flags: '--time <quantity>', description: 'plated, e.g. "20 min"; gives the thickness' },
    {
      flags: '--efficiency <share>',
      description: 'share of the current that deposits, e.g. 0.955 or "95.5 %"; 1 when left out',
    },
  ],
  run: async (_args, options) => compute(options),
};

function compute(options: Options): VerbResult {
  const problems: Problem[] = [];
  const take = <T>(outcome: Outcome<T>): T | undefined => {
    if (outcome.ok) return outcome.value;
    problems.push(...outcome.problems);
    return undefined;
  };
  const metal = take(readMetal(options.metal));
  const valence = metal && take(readValence(options.valence, metal));
  const currentDensity = take(positive(options.currentDensity, 'currentDensity', '--current-density'));
  const efficiency = take(readEfficiency(options.efficiency));
  const goal = take(readGoal(options));
  if (problems.length > 0 || !metal || !valence || !currentDensity || !efficiency || !goal)
    return { status: 'refused', problems };

  const molarMass = formulaMass(shippedLibrary(), metal.id);
  const material = { molarMass, density: chosen(metal.density).value, valence };
  const time = goal.time ?? timeToBuild(material, currentDensity, goal.thickness!, efficiency);
  const thickness = goal.thickness ?? thicknessAfter(material, currentDensity, time, efficiency);
  const chargePerArea = currentDensity * time;
  const result = {
    thickness,
    time,
    chargePerArea,
    massPerArea: thickness * material.density,
    massPerCharge: massPerCharge(material),
    molarMass,
    density: material.density,
    valence,
    efficiency,
  };
  const caution = metal.valences.find((v) => v.valence === valence)?.caution;
  if (caution) process.stderr.write(`Caution: ${caution}\n`);
  return {
    status: 'done',
    json: result,
    text: [
      `${printQuantity(thickness, 'um', 'length')} of ${metal.name} in ${printQuantity(time, 'min', 'time')}`,
      `charge ${printQuantity(chargePerArea, 'Ah/dm2', 'chargeDensity')}, metal ${printQuantity(result.massPerArea, 'g/dm2', 'areaDensity')}`,
      `${printQuantity(result.massPerCharge, 'g/Ah', 'massPerCharge', 4)} when all current deposits; here ${printQuantity(efficiency, '%', 'fraction')} of it does`,
      `${printQuantity(growthPerCharge(material) * efficiency, 'um/min per A/dm2', 'growthPerCharge')}`,
    ].join('\n'),
  };
}

function readMetal(typed: unknown): Outcome<Metal> {
  if (typeof typed === 'string') return findMetal(shippedLibrary(), typed, '--metal');
  const known = [...shippedLibrary().metals.keys()].join(', ');
  return refused({
    code: 'option-missing',
    path: '--metal',
    message: 'No metal was given.',
    hint: `One of ${known}.`,
  });
}

function readValence(typed: unknown, metal: Metal): Outcome<number> {
  if (typed === undefined) return done(metal.valences[0]!.valence);
  const known = metal.valences.map((v) => v.valence);
  const valence = Number(typed);
  if (known.includes(valence)) return done(valence);
  return refused({
    code: 'valence-unknown',
    path: '--valence',
    message: `${metal.name} is not deposited from valence ${typed}.`,
    hint: `Known: ${metal.valences.map((v) => `${v.valence} (${v.note})`).join(', ')}.`,
  });
}

function positive(
  typed: unknown,
  dimension: 'currentDensity' | 'length' | 'time',
  path: string,
): Outcome<number> {
  if (typed === undefined)
    return refused({ code: 'option-missing', path, message: `${path} was not given.` });
  const read = parseQuantity(typed, dimension, path);
  if (!read.ok || (read.value > 0 && Number.isFinite(read.value))) return read;
  return refused({
    code: 'not-positive',
    path,
    message: `${path} is ${typed}; it must be above zero.`,
    hint: 'Give the size; which way the current flows does not matter here.',
  });
}

/** A bare number is a share here (0.955), since the contract writes it so; `95.5 %` reads the same. */
function readEfficiency(typed: unknown): Outcome<number> {
  if (typed === undefined) return done(1);
  const path = '--efficiency';
  const text = String(typed).trim();
  const bare = Number.isFinite(Number(text));
  const read = parseQuantity(bare ? `${text} 1` : text, 'fraction', path);
  if (!read.ok || (read.value > 0 && read.value <= 1)) return read;
  return refused({
    code: 'efficiency-out-of-range',
    path,
    message: `An efficiency of ${typed} is not a share of the current above 0 and up to 1.`,
    ...(bare && read.value > 1 && { hint: `For a percentage write "${text} %".` }),
  });
}

function readGoal(options: Options): Outcome<{ thickness?: number; time?: number }> {
  const { thickness, time } = options;
  if ((thickness === undefined) === (time === undefined))
    return refused({
      code: thickness === undefined ? 'option-missing' : 'options-conflict',
      path: thickness === undefined ? '--thickness' : '--time',
      message:
        thickness === undefined
          ? 'Neither a thickness nor a time was given.'
          : 'Both a thickness and a time were given.',
      hint: 'Give --thickness to learn the time, or --time to learn the thickness.',
    });
  if (thickness !== undefined) {
    const read = positive(thickness, 'length', '--thickness');
    return read.ok ? done({ thickness: read.value }) : read;
  }
  const read = positive(time, 'time', '--time');
  return read.ok ? done({ time: read.value }) : read;
}
