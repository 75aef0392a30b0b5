import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import {
  absorbance,
  colourDifference,
  colourOfPhoto,
  concentrationFromColour,
  liquidColour,
} from './colour.js';

const spectra = aqueousRecords().spectra!;
const litres = (c: number, metal = 'Ni') => ({ [metal]: c * 1000 });

describe('colour of a liquid', () => {
  it('bands of the hexaaqua nickel ion: 394 nm 5.1, 656 nm 1.9, 724 nm 2.1 L/(mol cm) (Jorgensen 1963, from memory)', () => {
    for (const [nm, eps] of [
      [394, 5.1],
      [656, 1.9],
      [724, 2.1],
    ] as const)
      expect(Math.abs(absorbance(spectra, litres(1), 0.01, nm) / eps - 1)).toBeLessThan(0.1);
    expect(absorbance(spectra, litres(1), 0.01, 500)).toBeLessThan(0.2);
    const peak = Array.from({ length: 61 }, (_, i) => 370 + i).reduce(
      (b, nm) =>
        absorbance(spectra, litres(1), 0.01, nm) > absorbance(spectra, litres(1), 0.01, b) ? nm : b,
      370,
    );
    expect(Math.abs(peak - 394)).toBeLessThan(6);
  });
  it('a Watts bath of 81.8 g/L is opaque to violet in 1 cm: absorbance 7.1 at 394 nm (Beer)', () => {
    expect(Math.abs(absorbance(spectra, litres(1.394), 0.01, 394) / 7.1 - 1)).toBeLessThan(0.1);
  });
  it('water is white, nickel green, copper blue', () => {
    const water = liquidColour(spectra, {}, 0.05);
    expect(water.lab.l).toBeCloseTo(100, 6);
    expect(Math.hypot(water.lab.a, water.lab.b)).toBeLessThan(0.05);
    const nickel = liquidColour(spectra, litres(0.3), 0.05).lab;
    expect(nickel.a).toBeLessThan(-15);
    const copper = liquidColour(spectra, litres(0.3, 'Cu'), 0.05).lab;
    expect(copper.b).toBeLessThan(0);
  });
  it('only concentration times path counts (closed form)', () => {
    expect(
      colourDifference(
        liquidColour(spectra, litres(0.2), 0.05).lab,
        liquidColour(spectra, litres(1), 0.01).lab,
      ),
    ).toBeLessThan(1e-9);
  });
  it('a photo gives back its concentration, within a band of a factor and more', () => {
    const seen = liquidColour(spectra, litres(0.1), 0.06).lab;
    const read = concentrationFromColour(spectra, 'Ni', seen, 0.06);
    expect(Math.abs(read.best / 100 - 1)).toBeLessThan(0.05);
    expect(read.high / read.low).toBeGreaterThan(1.5);
    expect(concentrationFromColour(spectra, 'Ni', { l: 40, a: 60, b: 30 }, 0.06).left).toBeGreaterThan(20);
  });
});

describe('a photo', () => {
  it('takes the tint of the light off by its white', () => {
    const { hex, lab } = liquidColour(spectra, litres(0.1), 0.05);
    const plain = colourOfPhoto(hex, '#ffffff')!;
    expect(colourDifference({ mode: 'lab65', ...plain }, lab)).toBeLessThan(1.5);
    const white = colourOfPhoto('#f4e6c8', '#f4e6c8')!;
    expect(white.l).toBeCloseTo(100, 6);
    expect(Math.hypot(white.a, white.b)).toBeLessThan(0.01);
  });
  it('without a colour, or with a dark white, is none', () => {
    expect(colourOfPhoto('greenish', '#ffffff')).toBeUndefined();
    expect(colourOfPhoto('#80a060', '#202020')).toBeUndefined();
  });
});

const file = new URL('../../../shared/data/colour_reference.json', import.meta.url);
const here = existsSync(file);
if (!here) console.warn('skipped: ../shared/data/colour_reference.json is not here');
describe.skipIf(!here)('an independent sum at 1 nm', () => {
  it('agrees within 1.5 in L*, a*, b*', () => {
    const reference = JSON.parse(readFileSync(file, 'utf8')) as Record<
      string,
      { solute: string; c_times_path_mol_per_L_cm: number; Lab_D65: number[] }[]
    >;
    const key = Object.keys(reference).find((k) => k.includes('corrected'))!;
    let count = 0;
    for (const row of reference[key]) {
      const metal = ({ NiCl2: 'Ni', CuSO4: 'Cu' } as Record<string, string>)[row.solute];
      if (!metal) continue;
      count += 1;
      const { lab } = liquidColour(spectra, { [metal]: row.c_times_path_mol_per_L_cm * 1000 }, 0.01);
      [lab.l, lab.a, lab.b].forEach((v, i) => {
        expect(Math.abs(v - row.Lab_D65[i]), `${row.solute} ${row.c_times_path_mol_per_L_cm}`).toBeLessThan(
          1.5,
        );
      });
    }
    expect(count).toBeGreaterThan(5);
  });
});
