import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../test/library.js';
import { waterViscosity } from '../aqueous/index.js';
import { bathState, cathodeParameters, chosen } from '../library/index.js';
import {
  acidMade,
  addDeposit,
  anodeWear,
  bathCathode,
  burningCurrentDensity,
  chargeOf,
  coveringCurrentDensity,
  gaugeDiameter,
  growthPerCharge,
  levelsOf,
  limitingCurrent,
  meanCurrent,
  overpotentialAt,
  pulseLimit,
  pulseRemarks,
  resistancePerLength,
  type Segment,
  surfaceFlags,
  throwingPower,
  wagnerNumber,
  wireTemperature,
} from './index.js';

const nickel = { molarMass: 0.0586934, density: 8908, valence: 2 };
const library = testLibrary();

describe('a program of current', () => {
  const segments: Segment[] = [
    { kind: 'hold', current: 0.4, duration: 60 },
    { kind: 'ramp', from: 0.1, to: 0.7, duration: 90 },
    { kind: 'pulse', peak: 1.2, base: 0, on: 0.01, off: 0.03, duration: 200 },
    { kind: 'pulse', peak: 1.2, base: -0.2, on: 0.02, off: 0.005, duration: 10 },
  ];

  it('keeps the charge of every segment', () => {
    expect(segments.map(chargeOf).map((q) => Number(q.toFixed(9)))).toEqual([24, 36, 60, 9.2]);
    expect(segments.map(meanCurrent).map((i) => Number(i.toFixed(9)))).toEqual([0.4, 0.4, 0.3, 0.92]);
    for (const s of segments)
      expect(levelsOf(s).reduce((t, l) => t + l.duration, 0)).toBeCloseTo(s.duration, 9);
  });

  it('integrates a ramp of a bent law better than its mean does', () => {
    // Tafel overpotential integrated over a ramp from 0.1 to 0.7: closed form [x ln x - x].
    const exact = ((x: number) => x * Math.log(x) - x)(0.7) - ((x: number) => x * Math.log(x) - x)(0.1);
    const got = levelsOf({ kind: 'ramp', from: 0.1, to: 0.7, duration: 0.6 }).reduce(
      (sum, l) => sum + Math.log(l.current) * l.duration,
      0,
    );
    expect(Math.abs(got / exact - 1)).toBeLessThan(5e-3);
  });

  it('adds steps, and takes off no more than is there', () => {
    const thickness = new Float64Array(2);
    addDeposit(thickness, Float64Array.of(300, 100), 600, nickel);
    addDeposit(thickness, Float64Array.of(100, 300), 600, nickel);
    expect(thickness[0]).toBeCloseTo(growthPerCharge(nickel) * 400 * 600, 18);
    expect(thickness[0]).toBe(thickness[1]);
    addDeposit(thickness, Float64Array.of(-1e6, 0), 600, nickel);
    expect(thickness[0]).toBe(0);
  });
});

describe('pulses', () => {
  const diffusivity = 6e-10;
  const layer = 1e-4;
  const coefficient = diffusivity / layer;
  const limit = limitingCurrent(2, coefficient, 100);

  it('reach the steady limit when long and the mean limit when short', () => {
    expect(pulseLimit(limit, coefficient, diffusivity, { on: 1e4, off: 1e4 })).toBeCloseTo(limit, 6);
    const short = pulseLimit(limit, coefficient, diffusivity, { on: 1e-9, off: 3e-9 });
    expect(short / limit).toBeCloseTo(4, 2);
  });

  it('agree with the diffusion equation solved in the layer', () => {
    for (const pulse of [
      { on: 0.05, off: 0.15 },
      { on: 0.5, off: 0.5 },
      { on: 0.01, off: 0.09 },
    ]) {
      const solved = solvedPulseLimit(pulse, diffusivity, layer);
      const ratio = pulseLimit(limit, coefficient, diffusivity, pulse) / limit / solved;
      expect(Math.abs(ratio - 1), JSON.stringify({ pulse, solved, ratio })).toBeLessThan(0.15);
    }
  });

  it('warn when too short to follow and when too long to be fed', () => {
    const surface = { capacitance: 0.2, electrons: 2, diffusivity, concentration: 100 };
    const codes = (on: number, off: number, slope: number, peak: number) =>
      pulseRemarks({ on, off }, { ...surface, slope, peak }).map((r) => r.code);
    expect(codes(1e-4, 1e-4, 1000, 100)).toEqual(['pulse-shorter-than-charging']);
    expect(codes(30, 30, 1000, 120.491)).toEqual(['pulse-longer-than-supply']);
    expect(codes(0.1, 0.1, 1000, 120)).toEqual([]);
  });
});

/** Highest peak, over the steady limit, that keeps the surface concentration at or above zero: explicit differences. */
function solvedPulseLimit(pulse: { on: number; off: number }, diffusivity: number, layer: number): number {
  const cells = 200;
  const dx = layer / cells;
  const period = pulse.on + pulse.off;
  const dt = Math.min((0.4 * dx * dx) / diffusivity, pulse.on / 20);
  // Linear in the peak: solve for unit flux while on, find the lowest surface value, scale so that it is zero.
  const c = new Float64Array(cells + 1);
  let lowest = 0;
  const slowest = (layer * layer) / diffusivity;
  const periods = Math.ceil((3 * slowest) / period);
  for (let p = 0; p < periods; p++) {
    lowest = 0;
    for (let t = 0; t < period; t += dt) {
      const flux = t < pulse.on ? 1 : 0;
      let left = c[0]!;
      c[0]! += ((dt * diffusivity) / dx) * (2 * ((c[1]! - left) / dx)) - (2 * dt * flux) / dx;
      for (let k = 1; k < cells; k++) {
        const here = c[k]!;
        c[k] = here + ((dt * diffusivity) / dx ** 2) * (left - 2 * here + c[k + 1]!);
        left = here;
      }
      lowest = Math.min(lowest, c[0]!);
    }
  }
  return layer / diffusivity / -lowest;
}

describe('flags', () => {
  const bath = library.baths.get('acetate-nickel')!;
  const state = bathState(library, bath);
  const values = new Map(cathodeParameters(library, bath, state).map((p) => [p.name, p.nominal]));
  const cathode = bathCathode(state, values, { height: 0.03, waterViscosity });
  const limits = { burning: chosen(bath.burning!).value, covering: chosen(bath.covering!).value };
  const at = (i: number) => surfaceFlags(cathode.split(overpotentialAt(cathode, -i)), limits);

  it('burn above and cover above the currents they name', () => {
    const burns = burningCurrentDensity(cathode, limits);
    const covers = coveringCurrentDensity(cathode, limits.covering);
    expect([at(burns * 0.99).burns, at(burns * 1.01).burns]).toEqual([false, true]);
    expect([at(covers * 0.99).bare, at(covers * 1.01).bare]).toEqual([true, false]);
    expect(covers).toBeLessThan(burns);
  });

  it('burn early when the hydroxide forms first', () => {
    const early = burningCurrentDensity(cathode, { ...limits, hydroxide: 4.7 });
    expect(early).toBeLessThan(burningCurrentDensity(cathode, limits));
    expect(coveringCurrentDensity(cathode, 1e6)).toBe(Number.POSITIVE_INFINITY);
  });
});

describe('anodes', () => {
  it('a thin strip wears through while a rod of the same face lasts', () => {
    const same = Float64Array.of(200, 200);
    const weight = Float64Array.of(1e-4, 1e-4);
    const strip = anodeWear(same, weight, Float64Array.of(0.25e-3, 0.1e-3), 3600, nickel);
    const rod = anodeWear(same, weight, Float64Array.of(3e-3, 3e-3), 3600, nickel);
    expect(strip.first).toBe(1);
    expect(rod.runsLeft / strip.runsLeft).toBeCloseTo(30, 9);
    // Faraday: 200 A/m2 over 2 cm2 for an hour is 0.04 Ah at 1.09497 g/Ah.
    expect(strip.mass * 1000).toBeCloseTo(0.04 * 1.09497, 5);
    expect(anodeWear(new Float64Array(2), weight, weight, 1, nickel).runsLeft).toBe(Number.POSITIVE_INFINITY);
  });

  it('keep the acid in balance', () => {
    const F = 96485.33212;
    expect(acidMade({ hydrogen: F, oxygen: F, chlorine: 0 }, 1)).toBeCloseTo(0, 12);
    expect(acidMade({ hydrogen: 0, oxygen: 0, chlorine: F }, 1)).toBeCloseTo(0.5, 9);
    expect(acidMade({ hydrogen: F, oxygen: 0, chlorine: F }, 0)).toBeCloseTo(-1, 9);
  });
});

describe('wires', () => {
  const copper = { resistivity: 1.7241e-8, perKelvin: 0.00393, referenceTemperature: 293.15 };

  // ASTM B258 diameters and IEC 60028 copper.
  it.each([
    [10, 3.277],
    [12, 5.211],
    [16, 13.174],
    [18, 20.948],
    [22, 52.962],
    [24, 84.213],
  ])('gauge %i has %f mohm a metre', (gauge, milliohms) => {
    expect(resistancePerLength(copper, gaugeDiameter(gauge), 293.15) * 1000).toBeCloseTo(milliohms, 2);
  });

  it('5 A through 2 x 1 m of gauge 18 drop 0.2095 V', () => {
    expect(2 * 5 * resistancePerLength(copper, gaugeDiameter(18), 293.15)).toBeCloseTo(0.2095, 4);
  });

  it('the fusing current is that of Preece within a third', () => {
    // Preece, Proc. R. Soc. 1884-88: 80 A x (d in mm)^1.5 for copper, which melts at 1358 K (from memory).
    for (const mm of [0.25, 0.5, 1]) {
      const current = 80 * mm ** 1.5;
      const at = (i: number) => wireTemperature(copper, mm / 1000, i, 293, 0.6, 1358);
      expect(at(current * 0.67)).toBeLessThan(1358);
      expect(at(current * 1.33)).toBe(1358);
    }
  });

  it('the rule of the bench stays cool', () => {
    // 3 A/mm2 in a hook of 0.5 mm: 0.59 A.
    expect(wireTemperature(copper, 0.5e-3, 0.59, 293)).toBeLessThan(296);
    expect(wireTemperature(copper, 0.5e-3, 10, 293)).toBeGreaterThan(340);
  });
});

describe('throwing', () => {
  it('has the worked Wagner number', () => {
    // 10 S/m, 0.12 V/decade, 400 A/m2, 50 mm.
    expect(wagnerNumber(10, (400 * Math.LN10) / 0.12, 0.05)).toBeCloseTo(0.026057669, 8);
  });

  it('has the worked near-and-far cell', () => {
    // Distances 50 and 250 mm, 10 S/m, 5e-4 ohm m2 on each cathode.
    const metals = (0.25 / 10 + 5e-4) / (0.05 / 10 + 5e-4);
    expect(metals).toBeCloseTo(4.63636364, 8);
    const got = throwingPower(5, metals);
    expect(got.haringBlum).toBeCloseTo(0.0727273, 7);
    expect(got.heatley).toBeCloseTo(0.0909091, 7);
    expect(got.field).toBeCloseTo(0.047619, 7);
    expect(throwingPower(5, 5)).toEqual({ haringBlum: 0, heatley: 0, field: 0 });
    expect(throwingPower(5, 1)).toEqual({ haringBlum: 0.8, heatley: 1, field: 1 });
  });
});
