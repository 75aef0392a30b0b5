import { formulaMass, type Library, unknownName } from '../../library/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';
import type { WasteMetal } from '../records/shapes-hazard.js';

/** Ionic product of water at 25 C, -log10 on the molar scale (CRC handbook, from memory: 13.995). */
const PKW = 13.995;

export interface WasteRequest {
  metal: string;
  /** Volume of the spent bath or rinse [m3]. */
  volume: number;
  /** Metal in it [kg/m3]. */
  concentration: number;
  /** Free acid that must be neutralised first [mol/m3]; 5 % vinegar has about 830. */
  acid: number;
  /** pH it is brought to. */
  ph: number;
  /** Citrate, ammonia, tartrate, EDTA, gluconate: hydroxide does not form. */
  complexant: boolean;
}

export interface AlkaliDose {
  name: 'caustic soda' | 'slaked lime' | 'washing soda';
  formula: string;
  /** For the metal and the free acid together [kg]. */
  mass: number;
  remark: string;
}

export interface WastePlan {
  /** [kg] */
  metalHeld: number;
  alkali: AlkaliDose[];
  /** Dry hydroxide [kg]; wet sludge is ten to twenty times as heavy. */
  sludge: number;
  window: { from: number; to: number };
  /** Metal left dissolved [kg/m3] at that pH by the two solubility products. */
  residual: { low: number; high: number };
  /** Discharge limit [kg/m3] of the cited rule; local rules may forbid any. */
  limit?: number;
  /** What baking soda reaches [kg/m3]: it stops near pH 8.3. */
  bakingSoda: { low: number; high: number };
  /** How many times its volume dilution to the limit would take. */
  dilution?: number;
  label: string;
  warnings: string[];
  sources: string[];
}

/** pH baking soda cannot pass: that of a bicarbonate solution, (pK1 + pK2)/2 of carbonic acid = (6.35 + 10.33)/2. */
const BAKING_SODA_PH = 8.34;

/**
 * Free metal over its hydroxide [mol/L]: Ksp/[OH]^n, ideal, 25 C, without complexes; so a floor for real waste.
 */
export function hydroxideSolubility(pKsp: number, hydroxides: number, ph: number): number {
  const pOH = PKW - ph;
  return 10 ** (-pKsp + hydroxides * pOH);
}

/** Metals that are not thrown out as hydroxide at a bench. */
const HAND_IN: Record<string, string> = {
  silver:
    'Silver is recovered, not thrown away: keep the bath and the first rinse for a refiner (US limit 0.43 mg/L a day).',
  gold: 'Gold is recovered, not thrown away: keep the bath and the first rinse for a refiner.',
  palladium: 'Palladium is recovered, not thrown away: keep the bath and the first rinse for a refiner.',
  rhodium: 'Rhodium is recovered, not thrown away: keep the bath and the first rinse for a refiner.',
  chromium:
    'Strip liquor with chromium may hold hexavalent chromium: do not treat it, hand it in labelled (US limit 2.77 mg/L a day).',
  cadmium: 'Cadmium in any amount is for the hazardous-waste service.',
  lead: 'Lead in any amount is for the hazardous-waste service.',
};

/** Metal held, alkali to dose, the pH window, what stays dissolved and how that compares with the limit. */
export function wastePlan(library: Library, practice: Practice, request: WasteRequest): Outcome<WastePlan> {
  const other = HAND_IN[request.metal];
  if (other) return refused({ code: 'hand-in', path: 'metal', message: other });
  const entry = practice.waste.get(request.metal);
  const problems = [
    ...(entry ? [] : [unknownName(request.metal, practice.waste.keys(), 'metal', 'metal')]),
    ...bounds(request),
  ];
  if (!entry || problems.length > 0) return refused(...problems);

  const { volume, concentration, acid, ph } = request;
  const molarMass = formulaMass(library, entry.metal);
  const metalHeld = volume * concentration;
  const moles = metalHeld / molarMass;
  // Never more than there is.
  const left = (pKsp: number, at: number) =>
    Math.min(concentration, hydroxideSolubility(pKsp, entry.hydroxides, at) * 1e3 * molarMass);
  const limit = entry.daily?.value;
  return done({
    metalHeld,
    alkali: doses(library, moles * entry.hydroxides + acid * volume),
    sludge: moles * formulaMass(library, entry.hydroxide),
    window: { from: entry.window.from, to: entry.window.to },
    residual: { low: left(entry.pKsp.high, ph), high: left(entry.pKsp.low, ph) },
    ...(limit !== undefined && { limit, dilution: concentration / limit }),
    bakingSoda: { low: left(entry.pKsp.high, BAKING_SODA_PH), high: left(entry.pKsp.low, BAKING_SODA_PH) },
    label: `${entry.label}, ${entry.metal}, from electroplating; date; do not open`,
    warnings: warn(entry, request),
    sources: [entry.pKsp.cite, entry.window.cite, ...(entry.daily ? [entry.daily.cite] : [])].map(
      (c) => readCite(practice.sources, c).text,
    ),
  });
}

function bounds({ volume, concentration, acid, ph }: WasteRequest): Problem[] {
  const problems: Problem[] = [];
  const bad = (path: string, message: string) => problems.push({ code: 'out-of-range', path, message });
  if (!(volume > 0)) bad('volume', `The volume is ${volume * 1e3} L.`);
  if (!(concentration >= 0 && concentration < 1000))
    bad('concentration', `${concentration} g/L of metal is no solution.`);
  if (!(acid >= 0)) bad('acid', `The free acid is ${acid} mol/m3.`);
  if (!(ph >= 0 && ph <= 14)) bad('ph', `pH ${ph} lies outside 0 to 14.`);
  return problems;
}

/** Equivalents of alkali [mol] as three alkalis. */
function doses(library: Library, equivalents: number): AlkaliDose[] {
  const mass = (formula: string, each: number) => (equivalents / each) * formulaMass(library, formula);
  return [
    {
      name: 'caustic soda',
      formula: 'NaOH',
      mass: mass('NaOH', 1),
      remark: 'gets hot; goggles; slowly, with stirring',
    },
    {
      name: 'slaked lime',
      formula: 'Ca(OH)2',
      mass: mass('Ca(OH)2', 2),
      remark: 'settles best; adds gypsum in sulfate baths',
    },
    {
      name: 'washing soda',
      formula: 'Na2CO3',
      mass: mass('Na2CO3', 2),
      remark:
        'foams with acid; leaves carbonate, which holds more metal in solution: finish with lime or caustic',
    },
  ];
}

function warn(entry: WasteMetal, { ph, complexant }: WasteRequest): string[] {
  const { from, to } = entry.window;
  return [
    'Ask the household hazardous-waste service or the water company first: discharge of treated plating waste is forbidden in most homes, and dilution to get below a limit is forbidden everywhere.',
    complexant
      ? 'Citrate, ammonia, tartrate or EDTA keeps the metal dissolved at any pH: do not treat it, hand it in as it is.'
      : 'The figures are for clean water without complexants; acetate, ammonia or brighteners hold more.',
    ph < from ? `pH ${ph} is too low: practice works at ${from}-${to}.` : '',
    ph > to ? `pH ${ph} is above the window ${from}-${to}.` : '',
    entry.amphoteric && ph > entry.amphoteric.above
      ? `Above pH ${entry.amphoteric.above} the hydroxide goes back into solution; the figure shown does not hold there.`
      : '',
    'Filter, dry and label the sludge; it is hazardous waste and not garden lime.',
  ].filter(Boolean);
}
