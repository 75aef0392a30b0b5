import { GRAVITY, ZERO_CELSIUS } from './constants.js';
import { done, type Outcome, refused } from './problem.js';

/**
 * Text with a unit at every border, plain SI numbers inside. A unit is never optional: `"8 um"`, `"2 A/dm2"`.
 * Each entry is [factor to SI, offset in SI] so that SI = value * factor + offset.
 * Factors are exact by definition: inch, pound, US and imperial gallon per NIST SP 811 (2008), appendix B.
 */
const INCH = 0.0254;
const FOOT = 12 * INCH;
const US_GALLON = 231 * INCH ** 3;
const IMPERIAL_GALLON = 4.54609e-3;
const POUND = 0.45359237;
const OUNCE = POUND / 16;

const UNITS = {
  length: {
    m: 1,
    dm: 0.1,
    cm: 0.01,
    mm: 1e-3,
    um: 1e-6,
    nm: 1e-9,
    in: INCH,
    ft: FOOT,
    mil: INCH / 1000,
    microinch: INCH * 1e-6,
  },
  area: { m2: 1, dm2: 0.01, cm2: 1e-4, mm2: 1e-6, in2: INCH ** 2, ft2: FOOT ** 2 },
  volume: {
    m3: 1,
    L: 1e-3,
    dL: 1e-4,
    cL: 1e-5,
    mL: 1e-6,
    cm3: 1e-6,
    mm3: 1e-9,
    'gal(US)': US_GALLON,
    'gal(imp)': IMPERIAL_GALLON,
    'fl oz(US)': US_GALLON / 128,
    'fl oz(imp)': IMPERIAL_GALLON / 160,
  },
  mass: { kg: 1, g: 1e-3, mg: 1e-6, ug: 1e-9, lb: POUND, oz: OUNCE, 'oz t': 0.0311034768 },
  time: { s: 1, ms: 1e-3, min: 60, h: 3600, d: 86400 },
  current: { A: 1, mA: 1e-3, uA: 1e-6, kA: 1e3 },
  voltage: { V: 1, mV: 1e-3, kV: 1e3 },
  resistance: { ohm: 1, mohm: 1e-3, kohm: 1e3 },
  power: { W: 1, mW: 1e-3, kW: 1e3 },
  charge: { C: 1, 'A s': 1, 'A min': 60, Ah: 3600, mAh: 3.6 },
  currentDensity: {
    'A/m2': 1,
    'A/dm2': 100,
    'A/cm2': 1e4,
    'mA/cm2': 10,
    'A/ft2': 1 / FOOT ** 2,
    'A/in2': 1 / INCH ** 2,
  },
  conductivity: { 'S/m': 1, 'mS/cm': 0.1, 'uS/cm': 1e-4, 'S/cm': 100 },
  massConcentration: {
    'kg/m3': 1,
    'g/L': 1,
    'mg/L': 1e-3,
    'g/mL': 1e3,
    'oz/gal(US)': OUNCE / US_GALLON,
    'oz/gal(imp)': OUNCE / IMPERIAL_GALLON,
  },
  amountConcentration: { 'mol/m3': 1, 'mol/L': 1e3, 'mmol/L': 1 },
  molality: { 'mol/kg': 1, 'mmol/kg': 1e-3 },
  density: { 'kg/m3': 1, 'g/cm3': 1e3, 'g/mL': 1e3, 'kg/L': 1e3 },
  temperature: { K: 1, C: [1, ZERO_CELSIUS], F: [5 / 9, ZERO_CELSIUS - (32 * 5) / 9] },
  temperatureDifference: { K: 1 },
  speed: { 'm/s': 1, 'cm/s': 0.01, 'mm/s': 1e-3, 'um/min': 1e-6 / 60 },
  frequency: { Hz: 1, kHz: 1e3, rpm: 1 / 60, '1/h': 1 / 3600 },
  angle: { rad: 1, deg: Math.PI / 180 },
  areaResistance: { 'ohm m2': 1, 'ohm cm2': 1e-4 },
  pressure: { Pa: 1, kPa: 1e3, MPa: 1e6, bar: 1e5, psi: (POUND * GRAVITY) / INCH ** 2 },
  fraction: { '1': 1, '%': 0.01 },
  slope: { 'V/decade': 1, 'mV/decade': 1e-3 },
  diffusivity: { 'm2/s': 1, 'cm2/s': 1e-4 },
  viscosity: { 'Pa s': 1, 'mPa s': 1e-3 },
  molarMass: { 'kg/mol': 1, 'g/mol': 1e-3 },
  molarVolume: { 'm3/mol': 1, 'L/mol': 1e-3, 'cm3/mol': 1e-6 },
  molarEnergy: { 'J/mol': 1, 'kJ/mol': 1e3 },
  molarConductivity: { 'S m2/mol': 1, 'S cm2/mol': 1e-4 },
  chargeDensity: { 'C/m2': 1, 'C/cm2': 1e4, 'Ah/dm2': 3.6e5, 'A min/dm2': 6000 },
  areaDensity: { 'kg/m2': 1, 'g/dm2': 0.1, 'g/m2': 1e-3, 'mg/cm2': 0.01 },
  massPerCharge: { 'kg/C': 1, 'g/Ah': 1 / 3.6e6, 'mg/C': 1e-6 },
  growthPerCharge: { 'm3/C': 1, 'um/min per A/dm2': 1e-6 / 6000 },
  currentPerConcentration: { 'A m/mol': 1 },
  resistivity: { 'ohm m': 1, 'ohm cm': 0.01, 'uohm cm': 1e-8 },
  perKelvin: { '1/K': 1, '%/K': 0.01 },
  voltagePerKelvin: { 'V/K': 1, 'mV/K': 1e-3 },
  areaCapacitance: { 'F/m2': 1, 'uF/cm2': 0.01 },
  currentPerSection: { 'A/m2': 1, 'A/mm2': 1e6 },
  thermalConductivity: { 'W/(m K)': 1 },
  thermalConductance: { 'W/K': 1 },
  pH: { pH: 1 },
} as const satisfies Record<string, Record<string, number | readonly [number, number]>>;

export type Dimension = keyof typeof UNITS;

/** Whether a name is that of a dimension, for names that come from data. */
export const isDimension = (name: string): name is Dimension => Object.hasOwn(UNITS, name);

/** Other spellings people type, mapped to the one above. */
const SPELLINGS: Record<string, string> = {
  µm: 'um',
  μm: 'um',
  micron: 'um',
  microns: 'um',
  '"': 'in',
  inch: 'in',
  µA: 'uA',
  μA: 'uA',
  ml: 'mL',
  l: 'L',
  liter: 'L',
  litre: 'L',
  sec: 's',
  minutes: 'min',
  minute: 'min',
  hours: 'h',
  hour: 'h',
  hr: 'h',
  '°C': 'C',
  degC: 'C',
  '°F': 'F',
  degF: 'F',
  '°': 'deg',
  ASF: 'A/ft2',
  ASD: 'A/dm2',
  Ω: 'ohm',
  'A/dm²': 'A/dm2',
  'A/m²': 'A/m2',
  'mA/cm²': 'mA/cm2',
  'A/ft²': 'A/ft2',
  'cm²': 'cm2',
  'dm²': 'dm2',
  'mm²': 'mm2',
  Ohm: 'ohm',
  'A.h': 'Ah',
  'A h': 'Ah',
  'A.min': 'A min',
  'W/m/K': 'W/(m K)',
  'g/l': 'g/L',
  'mol/l': 'mol/L',
  'mg/l': 'mg/L',
  ml_: 'mL',
};

const affine = (dimension: Dimension, unit: string): readonly [number, number] | undefined => {
  const table: Record<string, number | readonly [number, number]> = UNITS[dimension];
  const entry = Object.hasOwn(table, unit) ? table[unit] : undefined;
  return typeof entry === 'number' ? [entry, 0] : entry;
};

/** Units a dimension is written in, SI first. */
export const unitsOf = (dimension: Dimension): string[] => Object.keys(UNITS[dimension]);

/** Value in SI of a number given in `unit`; undefined if the unit does not fit the dimension. */
export const toSI = (value: number, unit: string, dimension: Dimension): number | undefined => {
  const scale = affine(dimension, SPELLINGS[unit] ?? unit);
  return scale && value * scale[0] + scale[1];
};

/** Number in `unit` of an SI value. Throws on a unit that does not fit: the unit is ours, not the user's. */
export const fromSI = (value: number, unit: string, dimension: Dimension): number => {
  const scale = affine(dimension, unit);
  if (!scale) throw new Error(`no unit ${unit} for ${dimension}`);
  return (value - scale[1]) / scale[0];
};

const NUMBER = /^([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/;

/** Reads `"2 A/dm2"` as SI. A decimal comma is understood; a missing or unfit unit is a problem that says what fits. */
export function parseQuantity(text: unknown, dimension: Dimension, path = ''): Outcome<number> {
  const units = unitsOf(dimension).join(', ');
  const match = typeof text === 'string' ? NUMBER.exec(text.trim()) : null;
  if (!match)
    return refused({
      code: typeof text === 'number' ? 'unit-missing' : 'not-a-quantity',
      path,
      message: `${path || 'The value'} is ${JSON.stringify(text)}, which is not a number with a unit.`,
      hint: `Write a ${words(dimension)} such as "${example(dimension)}"; units that fit: ${units}.`,
    });
  const unit = match[2]!.trim().replace(/\s+/g, ' ');
  const value = Number(match[1]!.replace(',', '.'));
  if (unit === '' && dimension !== 'fraction')
    return refused({
      code: 'unit-missing',
      path,
      message: `${path || 'The value'} is ${match[1]} without a unit.`,
      hint: `Add one of ${units}.`,
    });
  const si = toSI(value, unit === '' ? '1' : unit, dimension);
  if (si === undefined || !Number.isFinite(si))
    return refused({
      code: 'unit-does-not-fit',
      path,
      message: `${path || 'The value'} is "${String(text)}", and "${unit}" is not a unit of ${words(dimension)}.`,
      hint: `Units that fit: ${units}.`,
    });
  return done(si);
}

/** Prints an SI value in a unit with a sensible number of digits (default 3 significant). */
export function printQuantity(value: number, unit: string, dimension: Dimension, digits = 3): string {
  if (!Number.isFinite(value)) return `unknown ${unit}`;
  const number = fromSI(value, unit, dimension);
  return `${plain(number, digits)} ${unit}`;
}

/** A number with `digits` significant digits and no exponent between 1e-4 and 1e6. */
export function plain(number: number, digits = 3): string {
  if (number === 0) return '0';
  const size = Math.floor(Math.log10(Math.abs(number)));
  if (size < -4 || size > 6) return number.toExponential(digits - 1);
  return number.toFixed(Math.max(0, digits - 1 - size));
}

const words = (dimension: Dimension): string => dimension.replace(/[A-Z]/g, (c) => ` ${c.toLowerCase()}`);
const example = (dimension: Dimension): string => `1 ${unitsOf(dimension)[0]}`;
