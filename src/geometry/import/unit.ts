import { type Problem, toSI } from '../../units/index.js';
import type { FileUnit, Format, MeshReading } from './file.js';

/** Which unit the numbers of a file were taken to be in, and why. */
export interface UnitChoice {
  unit: FileUnit;
  /** Metres per file unit. */
  metres: number;
  saidBy: 'person' | 'file' | 'format' | 'comment' | 'size';
  /** A sentence for the person. */
  reason: string;
}

/** A part of this bench: from a pin to what fits a bucket. Common practice, no source. */
const SMALLEST = 1e-3;
const LARGEST = 0.5;
/** glTF beyond this many metres cannot be a part in metres; below it the standard is believed, with a warning. */
const GLTF_CERTAINLY_NOT_METRES = 10;
/** Outside this range the file is not a part in any unit offered. */
const ABSURD = { small: 1e-6, large: 1e3 };

export const metresPer = (unit: FileUnit): number => toSI(1, unit, 'length')!;

const NAMES: Record<string, FileUnit> = {
  micron: 'um',
  microns: 'um',
  micrometer: 'um',
  micrometers: 'um',
  um: 'um',
  mm: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  cm: 'cm',
  centimeter: 'cm',
  centimeters: 'cm',
  centimetre: 'cm',
  centimetres: 'cm',
  m: 'm',
  meter: 'm',
  meters: 'm',
  metre: 'm',
  metres: 'm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  ft: 'ft',
  foot: 'ft',
  feet: 'ft',
};

export const unitNamed = (name: string): FileUnit | undefined => {
  const key = name.trim().toLowerCase();
  return Object.hasOwn(NAMES, key) ? NAMES[key] : undefined;
};

/** Finds `units = mm`, `Units: inches`, `the units used in this file are centimeters` in a header or comment. */
export function unitInWords(text: string): MeshReading['unit'] {
  const match = /\bunits?\b(?:\s+used\s+in\s+this\s+file)?\s*(?:=|:|\bis\b|\bare\b|\s)\s*"?([a-z]+)/i.exec(
    text,
  );
  const unit = match && unitNamed(match[1]!);
  return unit ? { unit, saidBy: 'comment', words: match[0].trim() } : undefined;
}

const size = (metres: number): string =>
  metres >= 1 ? `${Number(metres.toPrecision(3))} m` : `${Number((metres * 1000).toPrecision(3))} mm`;

/**
 * Chooses the unit of a file.
 * What the person says wins, then what the file or its format states, then the size: in the workshop nearly every
 * unit-less file is in millimetres, so that is taken unless the part would then be no part of this bench.
 * @param extent largest side of the bounding box in file units
 * @param person unit the person gave
 */
export function chooseUnit(
  extent: number,
  format: Format,
  stated: MeshReading['unit'],
  person?: FileUnit,
): { choice: UnitChoice; warnings: Problem[]; problems: Problem[] } {
  const warnings: Problem[] = [];
  const problems: Problem[] = [];
  const pick = (unit: FileUnit, saidBy: UnitChoice['saidBy'], reason: string) => {
    const metres = metresPer(unit);
    judge(extent * metres, reason, saidBy === 'size' ? 'unit-guessed' : 'unusual-size', warnings, problems);
    return { choice: { unit, metres, saidBy, reason }, warnings, problems };
  };
  if (person) return pick(person, 'person', `You said the file is in ${person}.`);
  if (stated?.saidBy === 'format' && extent > GLTF_CERTAINLY_NOT_METRES) {
    warnings.push({
      code: 'unit-guessed',
      path: '',
      message: `${stated.words}, but then the part would be ${size(extent)} long; it was read as millimetres (${size(extent * 1e-3)}).`,
      hint: 'Give --unit m if it really is that large, or --unit with the unit it was drawn in.',
    });
    return pick('mm', 'size', 'The format means metres, which is impossible here; millimetres were assumed.');
  }
  if (stated) return pick(stated.unit, stated.saidBy, `${stated.words}.`);
  const guess = guessFromSize(extent);
  warnings.push({
    code: 'unit-guessed',
    path: '',
    message: `${format.toUpperCase()} files do not say their unit. ${guess.reason}`,
    hint: `If it is not in ${guess.unit}, give --unit: ${alternatives(extent, guess.unit)}.`,
  });
  return pick(guess.unit, 'size', guess.reason);
}

function guessFromSize(extent: number): { unit: FileUnit; reason: string } {
  const fits = (unit: FileUnit): boolean => {
    const length = extent * metresPer(unit);
    return length >= SMALLEST && length <= LARGEST;
  };
  const read = (unit: FileUnit, why: string) => ({
    unit,
    reason: `Its largest side is ${Number(extent.toPrecision(4))}; ${why}, so it was read as ${size(extent * metresPer(unit))}.`,
  });
  if (fits('mm')) return read('mm', 'millimetres are usual and give a likely size');
  if (extent < 1 && fits('m'))
    return read('m', 'in millimetres that would be smaller than a pin, in metres it is likely');
  if (extent < 1 && fits('in'))
    return read('in', 'in millimetres that would be smaller than a pin, in inches it is likely');
  return read('mm', 'no unit gives a likely size and millimetres are usual');
}

const alternatives = (extent: number, taken: FileUnit): string =>
  (['mm', 'cm', 'in', 'm'] as const)
    .filter((unit) => unit !== taken)
    .map((unit) => `${unit} would make it ${size(extent * metresPer(unit))}`)
    .join(', ');

function judge(length: number, reason: string, code: string, warnings: Problem[], problems: Problem[]): void {
  if (length < ABSURD.small || length > ABSURD.large)
    problems.push({
      code: 'absurd-size',
      path: '',
      message: `The part would be ${length.toPrecision(3)} m long. ${reason}`,
      hint: 'Give the unit the file was drawn in with --unit mm, cm, m or in.',
    });
  else if ((length < SMALLEST || length > LARGEST) && !warnings.some((w) => w.code === code))
    warnings.push({
      code: 'unusual-size',
      path: '',
      message: `The part is ${size(length)} long, unusual for a small bench. ${reason}`,
      hint: 'If that is wrong, give the unit with --unit mm, cm, m or in.',
    });
}
