import { describe, expect, it } from 'vitest';
import { waterViscosity } from '../aqueous/index.js';
import {
  alongPlate,
  diffusionLayer,
  limitingCurrent,
  migrationBound,
  naturalConvection,
  nernstEinstein,
  rotatingCylinder,
  rotatingDisc,
  sandTime,
  stokesEinstein,
  waterIonProduct,
} from './index.js';

const near = (got: number, expected: number, tolerance: number) =>
  expect(Math.abs(got / expected - 1), `${got} against ${expected}`).toBeLessThan(tolerance);

describe('mass transfer', () => {
  const worked = { height: 0.05, diffusivity: 6e-10, kinematicViscosity: 1.1e-6, densityDifference: 0.013 };

  it('has the worked vertical plate of Wilke, Eisenberg and Tobias', () => {
    const plate = naturalConvection(worked);
    near(plate.numbers.grashof!, 1.31701e7, 1e-5);
    near(plate.numbers.schmidt!, 1833.33, 1e-5);
    near(plate.numbers.sherwood!, 260.167, 1e-5);
    near(plate.coefficient, 3.122e-6, 1e-5);
    near(limitingCurrent(2, plate.coefficient, 100), 60.2454, 1e-5);
    expect(plate.regime).toBe('laminar');
  });

  it('joins laminar and turbulent without a jump', () => {
    const at = (height: number) => naturalConvection({ ...worked, height });
    for (const edge of [1e12, 4e13]) {
      const height = 0.05 * (edge / (1.31701e7 * 1833.333)) ** (1 / 3);
      near(at(height * 0.9999).coefficient, at(height * 1.0001).coefficient, 1e-3);
    }
    expect(at(0.3).regime).toBe('transition');
    expect(at(10).regime).toBe('turbulent');
    expect(at(0.001).withinRange).toBe(false);
  });

  it('has the Levich disc at 1000 rpm', () => {
    const k = rotatingDisc((2 * Math.PI * 1000) / 60, 7.14e-10, 8.93e-7);
    near(limitingCurrent(2, k, 100), 996.676, 1e-5);
    near(7.14e-10 / k, 13.81e-6, 2e-3);
  });

  it('has the Sand time of the worked plate at twice its limit', () => {
    near(sandTime(2, 6e-10, 100, 120.491), 12.087, 1e-4);
  });

  it('turns limiting conductivities into diffusivities', () => {
    near(nernstEinstein(4.96e-3, 2, 298.15), 0.6604e-9, 1e-4);
    near(nernstEinstein(5.36e-3, 2, 298.15), 0.7136e-9, 1e-4);
    near(nernstEinstein(8.0e-3, -2, 298.15), 1.0651e-9, 1e-4);
    near(nernstEinstein(4.09e-3, -1, 298.15), 1.0891e-9, 1e-4);
  });

  it('gives nickel at 55 C what Selman and Tobias report, 0.9 to 1.3e-9', () => {
    const warm = stokesEinstein(6.61e-10, 298.15, 328.15, waterViscosity);
    expect(warm).toBeGreaterThan(0.9e-9);
    expect(warm).toBeLessThan(1.3e-9);
  });

  it('lets a layer grow with the cube root of the diffusivity', () => {
    const slow = diffusionLayer(1e-4, 6.5e-10, 6.5e-10);
    const fast = diffusionLayer(1e-4, 6.5e-10, 8 * 6.5e-10);
    near(slow.coefficient, 6.5e-6, 1e-12);
    near(fast.coefficient / slow.coefficient, 4, 1e-12);
  });

  it('orders the ways of stirring', () => {
    const d = 6e-10;
    const still = naturalConvection(worked).coefficient;
    const flow = (speed: number) =>
      alongPlate({ speed, length: 0.05, diffusivity: d, kinematicViscosity: 1e-6 }).coefficient;
    expect(flow(0.05)).toBeGreaterThan(still);
    near(flow(0.2) / flow(0.05), 2, 1e-9);
    const turned = rotatingCylinder(0.5, 0.01, d, 1e-6);
    expect(turned.withinRange).toBe(true);
    expect(turned.coefficient).toBeGreaterThan(flow(0.2));
  });

  it('bounds migration: a lone symmetric salt doubles its limit', () => {
    near(migrationBound(0.5), 2, 1e-12);
  });

  // pKw of IAPWS R11-07 and Marshall and Franck 1981 (from memory).
  it.each([
    [0, 14.95],
    [10, 14.53],
    [20, 14.17],
    [25, 13.995],
    [40, 13.53],
    [60, 13.02],
  ])('has the ion product of water at %i C', (celsius, pKw) => {
    expect(-Math.log10(waterIonProduct(celsius + 273.15) / 1e6)).toBeCloseTo(pKw, 1);
    expect(Math.abs(-Math.log10(waterIonProduct(celsius + 273.15) / 1e6) - pKw)).toBeLessThan(0.02);
  });
});
