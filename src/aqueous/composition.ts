import { done, type Outcome, type Problem, refused } from '../units/index.js';
import type { Recipe } from './equilibrium.js';
import type { AqueousRecords } from './records.js';

/** Heaviest load of dissolved substance taken as meant [kg per kg of water]: baths stay below a half, strong alkali and acid reach it. */
const HEAVIEST = 0.95;
/** Tin is divalent here whether it is said or not. */
const ALIASES: Record<string, string> = { Sn: 'Sn(2)' };
const COLDEST = 273.15;
const HOTTEST = 373.15;

/**
 * Reads a composition as the equilibrium verb takes it: totals in mol per kg of water by component, temperature in K.
 * Everything wrong with it is told at once, each with the slip that is most likely behind it.
 */
export function readComposition(input: unknown, records: AqueousRecords): Outcome<Recipe> {
  if (typeof input !== 'object' || input === null || Array.isArray(input))
    return refused({
      code: 'not-a-composition',
      path: '',
      message: 'This is not a composition.',
      hint: 'Write { "temperature": 298.15, "totals": { "Na": 0.5, "Cl": 0.5 }, "solids": "none" }.',
    });
  const { temperature, totals, solids, pH, ...rest } = input as Record<string, unknown>;
  const problems: Problem[] = [];
  const warnings: Problem[] = [];
  for (const key of Object.keys(rest))
    problems.push({
      code: 'unknown-key',
      path: key,
      message: `"${key}" is not part of a composition.`,
      hint: 'Known: temperature, totals, solids, pH.',
    });

  const T = temperature === undefined ? 298.15 : temperature;
  if (temperature === undefined)
    warnings.push({
      code: 'temperature-missing',
      path: 'temperature',
      message: 'No temperature given: 298.15 K (25 C) is used.',
    });
  problems.push(...temperatureProblems(T));
  if (solids !== undefined && solids !== 'none' && solids !== 'allowed')
    problems.push({
      code: 'not-a-choice',
      path: 'solids',
      message: `solids is ${JSON.stringify(solids)}.`,
      hint: '"none" keeps everything dissolved, "allowed" lets solids form.',
    });
  if (pH !== undefined && (typeof pH !== 'number' || !(pH >= -2 && pH <= 16)))
    problems.push({
      code: 'pH-range',
      path: 'pH',
      message: `pH is ${JSON.stringify(pH)}; water solutions lie between about -1 and 15.`,
      hint: 'Leave it out and it follows from the composition.',
    });

  const amounts = readTotals(totals, records, problems);
  if (problems.length > 0) return refused(...problems);
  const { H, ...others } = amounts;
  if (H !== undefined) problems.push(...hydrogenProblems(H, others, records));
  problems.push(...loadProblems(others, records));
  if (problems.length > 0) return refused(...problems);
  return done(
    {
      temperature: T as number,
      totals: others,
      solids: solids === 'allowed',
      ...(pH === undefined ? {} : { pH: pH as number }),
    },
    warnings,
  );
}

function temperatureProblems(T: unknown): Problem[] {
  if (typeof T !== 'number' || !Number.isFinite(T))
    return [
      {
        code: 'not-a-number',
        path: 'temperature',
        message: `temperature is ${JSON.stringify(T)}.`,
        hint: 'Give kelvins as a number, e.g. 298.15.',
      },
    ];
  if (T >= COLDEST && T <= HOTTEST) return [];
  const celsius = T > 0 && T <= 100;
  return [
    {
      code: 'temperature-range',
      path: 'temperature',
      message: `temperature is ${T} K; the model covers liquid water, ${COLDEST} to ${HOTTEST} K.`,
      hint: celsius
        ? `If you meant ${T} C, write ${(T + 273.15).toFixed(2)}.`
        : 'Give kelvins: 25 C is 298.15.',
    },
  ];
}

function readTotals(totals: unknown, records: AqueousRecords, problems: Problem[]): Record<string, number> {
  const out: Record<string, number> = {};
  if (typeof totals !== 'object' || totals === null || Array.isArray(totals)) {
    problems.push({
      code: 'totals-missing',
      path: 'totals',
      message: 'No totals given.',
      hint: 'e.g. "totals": { "Ni": 0.1, "SO4": 0.1 }, in mol per kg of water.',
    });
    return out;
  }
  const known = new Map(records.components.map((c) => [c.id, c]));
  for (const [typed, value] of Object.entries(totals)) {
    const id = ALIASES[typed] ?? typed;
    const path = `totals.${typed}`;
    if (!known.has(id)) {
      problems.push({
        code: 'unknown-component',
        path,
        message: `"${id}" is not a component.`,
        hint: `Did you mean ${closest(id, records)}? Known: ${[...known.keys()].join(', ')}.`,
      });
      continue;
    }
    if (typeof value !== 'number' || !Number.isFinite(value))
      problems.push({
        code: 'not-a-number',
        path,
        message: `${id} is ${JSON.stringify(value)}.`,
        hint: 'Totals are numbers in mol per kg of water.',
      });
    else if (value < 0 && id !== 'H')
      problems.push({
        code: 'negative-amount',
        path,
        message: `${id} is ${value} mol/kg: there cannot be less than none.`,
        hint: `A slip of the sign? ${-value} mol/kg would be possible.`,
      });
    else if (value !== 0) out[id] = (out[id] ?? 0) + value;
  }
  return out;
}

/** Component whose id, species or name begins alike. */
function closest(typed: string, records: AqueousRecords): string {
  const wanted = typed.toLowerCase().replace(/[^a-z0-9]/g, '');
  const likeness = (text: string): number => {
    const t = text.toLowerCase();
    let same = 0;
    while (same < wanted.length && t[same] === wanted[same]) same++;
    return same + (t.includes(wanted) ? 1 : 0);
  };
  const score = (c: AqueousRecords['components'][number]): number =>
    Math.max(likeness(c.id), likeness(c.species), likeness(c.name)) - c.id.length / 100;
  return [...records.components].sort((a, b) => score(b) - score(a))[0]!.id;
}

/** H is what the charges ask for; given as well it must agree, with borate counted as H3BO3, B(OH)4- or BO3-3. */
function hydrogenProblems(H: number, totals: Record<string, number>, records: AqueousRecords): Problem[] {
  let needed = 0;
  for (const c of records.components) if (c.id !== 'H') needed -= c.charge * (totals[c.id] ?? 0);
  const borate = totals.borate ?? 0;
  const scale = Math.max(Math.abs(needed), Math.abs(H), 1e-9);
  if ([needed, needed + borate, needed + 3 * borate].some((n) => Math.abs(n - H) <= 0.005 * scale)) return [];
  const off = H - needed;
  return [
    {
      code: 'charge-cannot-balance',
      path: 'totals.H',
      message: `H is ${H} mol/kg, but the other ions leave room for ${needed.toPrecision(4)} mol/kg: the charges would be out by ${off.toPrecision(3)} mol/kg.`,
      hint:
        off > 0
          ? 'Is the anion of an acid missing? H may also be left out: it follows from the charges.'
          : 'Is a cation missing or an anion counted twice? H may also be left out: it follows from the charges.',
    },
  ];
}

/** More dissolved than water can hold: the slip is a unit or a decimal point. */
function loadProblems(totals: Record<string, number>, records: AqueousRecords): Problem[] {
  const parts = records.components.flatMap((c) =>
    totals[c.id] ? [{ c, mass: totals[c.id]! * c.molarMass }] : [],
  );
  const mass = parts.reduce((s, p) => s + p.mass, 0);
  if (mass <= HEAVIEST) return [];
  const worst = parts.sort((a, b) => b.mass - a.mass)[0]!;
  const value = totals[worst.c.id]!;
  return [
    {
      code: 'impossible-amount',
      path: `totals.${worst.c.id}`,
      message: `${worst.c.id} is ${value} mol/kg; together that makes ${mass.toFixed(1)} kg of dissolved substance in one kg of water.`,
      hint: `Was ${value} meant in g/L (about ${(value / 1000 / worst.c.molarMass).toPrecision(3)} mol/kg) or in mmol/kg (${(value / 1000).toPrecision(3)} mol/kg)?`,
    },
  ];
}
