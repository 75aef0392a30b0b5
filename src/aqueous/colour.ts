import { converter, differenceCiede2000, formatHex, type Lab65, type Xyz65 } from 'culori';
import type { SpectraRecord } from './records.js';

/** Colour of a liquid in front of a white ground, lit by daylight (D65), as the standard observer sees it. */
export interface LiquidColour {
  /** CIE XYZ, white = Y 1. */
  xyz: Xyz65;
  /** CIE L*a*b* on D65. */
  lab: Lab65;
  /** For a screen, clipped to what it can show. */
  hex: string;
}

const toLab = converter('lab65');

const sample = (values: readonly number[], start: number, step: number, at: number): number => {
  const x = Math.min(Math.max((at - start) / step, 0), values.length - 1);
  const i = Math.min(Math.floor(x), values.length - 2);
  return values[i] + (x - i) * (values[i + 1] - values[i]);
};

/** Absorbance (decadic) at a wavelength [nm] by Beer's law: concentrations [mol/m3] by component, path [m]. */
export function absorbance(
  spectra: SpectraRecord,
  concentration: Readonly<Record<string, number>>,
  path: number,
  wavelength: number,
): number {
  let sum = 0;
  for (const [id, values] of Object.entries(spectra.absorptivity))
    sum += (concentration[id] ?? 0) * sample(values, spectra.start, spectra.step, wavelength) * path;
  return sum;
}

/**
 * Colour by Beer and the CIE sums over 380 to 780 nm. Beyond 740 nm, where nothing was measured, the last absorptivity
 * stays; that moves Y by less than a thousandth. The liquid is clear: haze and sludge are not in it.
 */
export function liquidColour(
  spectra: SpectraRecord,
  concentration: Readonly<Record<string, number>>,
  path: number,
): LiquidColour {
  const { observer } = spectra;
  const xyz = [0, 0, 0];
  let white = 0;
  observer.d65.forEach((light, i) => {
    const wavelength = observer.start + i * observer.step;
    const seen = light * 10 ** -absorbance(spectra, concentration, path, wavelength);
    xyz[0] += seen * observer.x[i];
    xyz[1] += seen * observer.y[i];
    xyz[2] += seen * observer.z[i];
    white += light * observer.y[i];
  });
  const colour: Xyz65 = { mode: 'xyz65', x: xyz[0] / white, y: xyz[1] / white, z: xyz[2] / white };
  return { xyz: colour, lab: toLab(colour), hex: formatHex(colour) };
}

const difference = differenceCiede2000();

/** CIEDE2000 between two colours. */
export const colourDifference = (a: LiquidColour['lab'], b: LiquidColour['lab']): number => difference(a, b);

/**
 * What a photo with a white in the frame leaves open [CIEDE2000]: lens, shade, angle and the film of the screen
 * (judgement, no source; two phones of the same card differ by 5 to 10).
 */
export const PHOTO_SPREAD = 8;

export interface ColourReading {
  /** Concentration [mol/m3] that looks most like the photo, and the range within the spread of a photo. */
  best: number;
  low: number;
  high: number;
  /** Difference that is left at the best [CIEDE2000]; above the spread, the photo is of something else. */
  left: number;
  /** True when the range is open at the strong end: the liquid is too dark to tell. */
  open: boolean;
}

/** How strong a liquid of one metal is by the colour of a photo (L*a*b*, white balanced), at a path length [m]. */
export function concentrationFromColour(
  spectra: SpectraRecord,
  metal: string,
  seen: { l: number; a: number; b: number },
  path: number,
  strongest = 3000,
): ColourReading {
  const lab: Lab65 = { mode: 'lab65', ...seen };
  const count = 240;
  const weakest = 1;
  const grid = Array.from({ length: count + 1 }, (_, i) => weakest * (strongest / weakest) ** (i / count));
  const off = grid.map((c) => colourDifference(liquidColour(spectra, { [metal]: c }, path).lab, lab));
  const least = Math.min(...off);
  const inside = grid.filter((_, i) => off[i] <= Math.max(least, PHOTO_SPREAD) + 1e-9);
  const high = inside.at(-1)!;
  return { best: grid[off.indexOf(least)], low: inside[0], high, left: least, open: high >= strongest };
}

const toLinear = converter('lrgb');

/**
 * Colour of a spot in a photo against a white spot of the same photo, as L*a*b* with that white at L* = 100.
 * Both are screen colours such as `#9fd08a`; undefined when one is not a colour or the white is dark.
 */
export function colourOfPhoto(spot: string, white: string): { l: number; a: number; b: number } | undefined {
  const [s, w] = [toLinear(spot), toLinear(white)];
  if (!s || !w || Math.min(w.r, w.g, w.b) < 0.05) return undefined;
  const lab = toLab({ mode: 'lrgb', r: s.r / w.r, g: s.g / w.g, b: s.b / w.b });
  return { l: lab.l, a: lab.a, b: lab.b };
}
