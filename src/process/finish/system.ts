import { growthPerCharge } from '../../electrode/index.js';
import type { Library } from '../../library/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { readCite } from '../records/cite.js';
import { findDeposit, findSubstrate } from '../records/find.js';
import type { Practice } from '../records/practice.js';
import type { ServiceClass } from '../records/shapes-finish.js';
import { plateable } from './metals.js';

/** Severity of service, as the deposit standards grade it. */
export const SERVICE = ['mild', 'moderate', 'severe', 'very-severe', 'extended'] as const;
export type Service = (typeof SERVICE)[number];

export interface SystemRequest {
  deposit: string;
  base: string;
  service: Service;
  /** Thinnest significant place over the mean, from the forecast; 1 for a perfectly even deposit. */
  evenness: number;
  /** What the final polish takes off the outermost layer [m]. */
  polish: number;
  /** What wear shall take before the least thickness is reached [m]. */
  wear: number;
}

export interface Layer {
  metal: string;
  /** Asked of the thinnest significant place [m]. */
  least: number;
  /** Mean to plate so that the thinnest place keeps it after polish and wear [m]. */
  mean: number;
  /** Charge at full efficiency for the mean [C/m2]. */
  chargePerArea: number;
  /** [kg/m2] */
  massPerArea: number;
  note: string;
}

export interface System {
  standard: string;
  service: number;
  layers: Layer[];
  source: string;
  sourceKind: string;
  warnings: string[];
}

const GROUPS: Record<ServiceClass['base'], readonly string[]> = {
  iron: ['steel', 'hard-steel', 'cast-iron'],
  copper: ['copper', 'brass', 'leaded-brass', 'bronze'],
  zinc: ['zinc'],
  any: [],
};

/** The thinnest published layers that meet a service on a base, with what to plate so that the thinnest place has them. */
export function depositSystem(library: Library, practice: Practice, request: SystemRequest): Outcome<System> {
  const deposit = findDeposit(practice, request.deposit, 'deposit');
  const base = findSubstrate(practice, request.base, 'base');
  const bounds = checkRequest(request);
  if (!deposit.ok || !base.ok || bounds.length > 0)
    return refused(...(deposit.ok ? [] : deposit.problems), ...(base.ok ? [] : base.problems), ...bounds);

  const wanted = SERVICE.indexOf(request.service) + 1;
  const group = (Object.keys(GROUPS) as ServiceClass['base'][]).find((g) =>
    GROUPS[g].includes(base.value.surface ?? ''),
  );
  const known = [...practice.service.values()].filter(
    (c) => c.deposit === (deposit.value.id === 'nickel-acetate' ? 'nickel' : deposit.value.id),
  );
  const fit = known
    .filter((c) => (c.base === group || c.base === 'any') && c.service >= wanted)
    .sort((a, b) => a.service - b.service || Number(b.base === group) - Number(a.base === group))[0];
  if (!fit)
    return refused({
      code: 'service-unknown',
      path: 'service',
      message: `No published thickness is known here for ${deposit.value.name.toLowerCase()} on ${base.value.name.toLowerCase()} in ${request.service} service.`,
      hint: known.length
        ? `Known for this deposit: ${known.map((c) => `${c.base}, ${SERVICE[Math.ceil(c.service) - 1]} (${c.standard})`).join('; ')}.`
        : 'Ask for a thickness instead of a service.',
    });
  const cite = readCite(practice.sources, fit.cite);
  return done({
    standard: fit.standard,
    service: fit.service,
    layers: fit.layers.map((layer, i) => plan(library, layer, request, i === fit.layers.length - 1)),
    source: cite.text,
    sourceKind: cite.kind,
    warnings: warn(fit),
  });
}

function checkRequest({ evenness, polish, wear }: SystemRequest): Problem[] {
  const problems: Problem[] = [];
  if (!(evenness > 0 && evenness <= 1))
    problems.push({
      code: 'evenness-out-of-range',
      path: 'evenness',
      message: `Thinnest over mean is ${evenness}; it lies above 0 and up to 1.`,
      hint: 'The forecast gives it; 0.5 is a fair guess for a simple part, 0.2 for one with hollows.',
    });
  for (const [path, value] of Object.entries({ polish, wear }))
    if (!(value >= 0))
      problems.push({ code: 'negative', path, message: `The allowance for ${path} is ${value * 1e6} um.` });
  return problems;
}

function plan(
  library: Library,
  { metal, least, note }: ServiceClass['layers'][number],
  { evenness, polish, wear }: SystemRequest,
  outermost: boolean,
): Layer {
  const material = plateable(library, metal);
  if (!material.ok) throw new Error(`the service table names ${metal}, which is not in the library`);
  // Polish and wear take the thinnest place like any other, so they are added before dividing by the evenness.
  const mean = (least + (outermost ? polish + wear : 0)) / evenness;
  return {
    metal,
    least,
    mean,
    chargePerArea: mean / growthPerCharge(material.value),
    massPerArea: mean * material.value.density,
    note,
  };
}

function warn(fit: ServiceClass): string[] {
  const warnings: string[] = [];
  if (fit.layers.some((l) => /Cr /.test(l.note)))
    warnings.push(
      'The class is written for nickel under chromium. Without chromium nickel tarnishes and wears sooner; the thickness is a floor.',
    );
  if (fit.layers.some((l) => l.note.includes('double layer')))
    warnings.push(
      'A double layer is semi-bright below (at least 60 % of the nickel) and bright above; one layer alone protects less.',
    );
  if (fit.layers.some((l) => l.metal === 'nickel'))
    warnings.push('Nickel: not for long skin contact (REACH annex XVII entry 27, 0.5 ug/cm2/week).');
  return warnings;
}
