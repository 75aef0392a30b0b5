import { type Dimension, fromSI, plain } from '../../units/index.js';

/** The units one person reads: stored values stay SI, only the print changes. */
export interface UnitChoice {
  thickness: 'um' | 'mil' | 'microinch';
  length: 'mm' | 'in';
  area: 'cm2' | 'dm2' | 'in2';
  currentDensity: 'A/dm2' | 'A/ft2' | 'mA/cm2';
  temperature: 'C' | 'F';
  volume: 'L' | 'mL' | 'gal(US)' | 'fl oz(US)';
  mass: 'g';
}

export const METRIC: UnitChoice = {
  thickness: 'um',
  length: 'mm',
  area: 'cm2',
  currentDensity: 'A/dm2',
  temperature: 'C',
  volume: 'L',
  mass: 'g',
};

export const INCH: UnitChoice = {
  thickness: 'mil',
  length: 'in',
  area: 'in2',
  currentDensity: 'A/ft2',
  temperature: 'F',
  volume: 'fl oz(US)',
  mass: 'g',
};

const PRINTED: Record<string, string> = {
  um: 'µm',
  microinch: 'µin',
  C: '°C',
  F: '°F',
  fraction: '',
};

/** A unit as people print it: `µm`, `A/dm²`, `°C`. */
export const unitText = (unit: string): string =>
  PRINTED[unit] ??
  unit
    .replace(/([a-z])2\b/g, '$1²')
    .replace(/([a-z])3\b/g, '$1³')
    .replace('(US)', ' US');

export interface Printed {
  number: string;
  unit: string;
}

/** An SI value in a unit, number and unit apart so that they can be set in different sizes. */
export function printed(value: number, unit: string, dimension: Dimension, digits = 3): Printed {
  if (!Number.isFinite(value)) return { number: '–', unit: unitText(unit) };
  return { number: plain(fromSI(value, unit, dimension), digits).replace('-', '−'), unit: unitText(unit) };
}

export const text = (value: number, unit: string, dimension: Dimension, digits = 3): string => {
  const p = printed(value, unit, dimension, digits);
  return `${p.number} ${p.unit}`;
};

/** A value as the person gave it: up to four digits, no zeros added. */
export const given = (value: number, unit: string, dimension: Dimension): string =>
  `${String(Number(fromSI(value, unit, dimension).toPrecision(4))).replace('-', '−')} ${unitText(unit)}`;

/** The last digit of a band's ends stands for at most about this share of its width. */
const FINEST = 0.15;

/** Low and high of a band with the digits that its width deserves, e.g. `2.7 to 3.4 V`. */
export function range(low: number, high: number, unit: string, dimension: Dimension): string {
  const [a, b] = [fromSI(low, unit, dimension), fromSI(high, unit, dimension)];
  const width = Math.abs(b - a);
  const places = width > 0 ? Math.min(4, Math.max(0, Math.ceil(-Math.log10(FINEST * width)))) : 2;
  return `${a.toFixed(places)} to ${b.toFixed(places)} ${unitText(unit)}`.replaceAll('-', '−');
}

/** A current in A, or mA below 0.1 A: what the display of a bench supply shows. */
export const currentText = (amps: number): Printed =>
  amps < 0.1 ? printed(amps, 'mA', 'current') : printed(amps, 'A', 'current');

/** A time as people set a timer: `48 min`, `1 h 35 min`, `40 s`. */
export function clock(seconds: number): Printed {
  if (!Number.isFinite(seconds)) return { number: '–', unit: 'min' };
  if (seconds < 100) return { number: String(Math.round(seconds)), unit: 's' };
  const minutes = Math.round(seconds / 60);
  if (minutes < 100) return { number: String(minutes), unit: 'min' };
  return { number: `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')}`, unit: 'min' };
}

/** Charge in Ah, or mAh when small. */
export const chargeText = (coulombs: number): Printed =>
  coulombs < 360 ? printed(coulombs, 'mAh', 'charge') : printed(coulombs, 'Ah', 'charge');

/** Mass in g, or mg when small. */
export const massText = (kg: number): Printed =>
  kg < 1e-4 ? printed(kg, 'mg', 'mass') : printed(kg, 'g', 'mass');

export const join = (p: Printed): string => `${p.number} ${p.unit}`;
