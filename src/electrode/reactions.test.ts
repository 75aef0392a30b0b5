import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { FARADAY, thermalVoltage } from '../units/index.js';
import {
  anode,
  chlorinePotential,
  hydrogenEvolution,
  metalReaction,
  nernst,
  overpotentialAt,
  oxygenPotential,
  restBetween,
} from './index.js';

const T = 298.15;
const f = 1 / thermalVoltage(T);
const copper = {
  equilibrium: 0.3,
  exchange: 10,
  cathodic: 0.5,
  anodic: 1.5,
  limit: Number.POSITIVE_INFINITY,
  passivation: Number.POSITIVE_INFINITY,
};

describe('the metal reaction', () => {
  it('is Butler and Volmer where nothing limits it', () => {
    const law = metalReaction(copper, T);
    for (const eta of [-0.2, -0.01, 0, 0.03, 0.1]) {
      const i = 10 * (Math.exp(1.5 * f * eta) - Math.exp(-0.5 * f * eta));
      expect(law(0.3 + eta)[0]).toBeCloseTo(i, 9);
    }
    // Linear near equilibrium: i = i0 (aa + ac) F eta / RT.
    expect(law(0.3)[1]).toBeCloseTo(10 * 2 * f, 6);
  });

  it('obeys the mixed-control line 1/i = 1/i_kinetic + 1/i_limit', () => {
    const law = metalReaction({ ...copper, limit: 250 }, T);
    const kinetic = 10 * Math.exp(0.5 * f * 0.25);
    const back = 10 * Math.exp(-1.5 * f * 0.25);
    expect(-law(0.05)[0]).toBeCloseTo((kinetic - back) / (1 + kinetic / 250), 9);
    expect(-law(-3)[0]).toBeCloseTo(250, 6);
  });

  it('stops at its passivation upwards, and still rises', () => {
    const law = metalReaction({ ...copper, passivation: 800, limit: 100 }, T);
    expect(law(1.3)[0]).toBeCloseTo(800, 3);
    for (const e of [-1.5, -0.5, 0.3, 0.9, 1.6]) expect(law(e)[1]).toBeGreaterThan(0);
  });

  it('has the Nernst potential: 29.6 mV a decade for two electrons', () => {
    expect(nernst(0.3419, 2, T, 1000)).toBeCloseTo(0.3419, 12);
    expect(nernst(0.3419, 2, T, 1000) - nernst(0.3419, 2, T, 100)).toBeCloseTo(0.0295797, 6);
    expect(nernst(-0.257, 2, T, 1000, 0.05)).toBeCloseTo(-0.257 - 0.038485, 5);
  });
});

describe('hydrogen', () => {
  const kinetics = { acidExchange: 0.05, acidTransfer: 0.5, waterExchange: 0.01, waterTransfer: 0.5 };
  const transfer = { bulk: 1, ionProduct: 1e-8, hydrogenIon: 1e-4, hydroxide: 6e-5, buffers: [] };

  it('follows Tafel at the bulk pH while little flows: 118 mV a decade', () => {
    const law = hydrogenEvolution(kinetics, transfer, T);
    const [a, b] = [law(-0.2), law(-0.2 - (2 * Math.LN10) / f)];
    expect(a.surface).toBeCloseTo(1, 1);
    // Within the water reaction's share, a fifty-thousandth here.
    const tafel = (0.05 / 1000) * a.surface * Math.exp(0.5 * f * 0.2);
    expect(Math.abs(a.current / tafel - 1)).toBeLessThan(1e-4);
    expect(b.current / a.current).toBeGreaterThan(8.5);
  });

  it('stands at the limit of the acid, F k c, between acid and water', () => {
    const law = hydrogenEvolution(kinetics, transfer, T);
    expect(law(-0.97).current / (FARADAY * 1e-4)).toBeCloseTo(1, 2);
    expect(law(-1.4).fromWater).toBeGreaterThan(0.9);
    expect(law(-1.4).current).toBeGreaterThan(20 * FARADAY * 1e-4);
  });

  it('is fed further by a buffer, by F k times what the buffer gives up', () => {
    const total = 500;
    const acidConstant = 1000 * 10 ** -4.7;
    const buffered = { ...transfer, bulk: 0.02, buffers: [{ total, acidConstant, coefficient: 1e-5 }] };
    const law = hydrogenEvolution({ ...kinetics, waterExchange: 0 }, buffered, T);
    const acid = (total * 0.02) / (0.02 + acidConstant);
    const limit = FARADAY * (1e-4 * 0.02 + 1e-5 * acid);
    expect(law(-1.3).current / limit).toBeGreaterThan(0.99);
    expect(law(-1.35).current / limit).toBeLessThan(1);
  });

  it('keeps the proton balance and its own slope', () => {
    const seed = 7;
    fc.assert(
      fc.property(
        fc.double({ min: -1.8, max: 0.2, noNaN: true }),
        fc.double({ min: -0.5, max: 12, noNaN: true }),
        fc.double({ min: 0, max: 2000, noNaN: true }),
        fc.double({ min: 1, max: 12, noNaN: true }),
        (potential, pH, total, pKa) => {
          const bulk = 1000 * 10 ** -pH;
          const acidConstant = 1000 * 10 ** -pKa;
          const set = { ...transfer, bulk, buffers: [{ total, acidConstant, coefficient: 1e-5 }] };
          const law = hydrogenEvolution(kinetics, set, T);
          const { current, slope, surface: h } = law(potential);
          const fed =
            FARADAY *
            (1e-4 * (bulk - h) +
              6e-5 * (1e-8 / h - 1e-8 / bulk) +
              1e-5 * total * (bulk / (bulk + acidConstant) - h / (h + acidConstant)));
          // Differences of concentrations that hardly differ lose digits: the floor is their size.
          const size = FARADAY * (1e-4 * bulk + 6e-5 * (1e-8 / bulk) + 1e-5 * total);
          expect(Math.abs(fed - current)).toBeLessThan(1e-9 * current + 1e-12 * size);
          const step = 1e-5;
          const measured = (law(potential + step).current - law(potential - step).current) / (2 * step);
          expect(slope).toBeLessThan(0);
          expect(Math.abs(measured - slope)).toBeLessThan(1e-3 * Math.abs(slope) + (1e-8 * current) / step);
        },
      ),
      { seed, numRuns: 300 },
    );
  });
});

describe('gases at an anode', () => {
  it('have their equilibrium potentials', () => {
    expect(oxygenPotential(1.229, T, 4)).toBeCloseTo(1.229 - 4 * 0.0591593, 6);
    expect(chlorinePotential(1.358, T, 1)).toBe(1.358);
    expect(chlorinePotential(1.358, T, 0.1)).toBeCloseTo(1.358 + 0.0591593, 6);
  });

  it('take over an inert anode from its equilibrium on, chlorine no faster than chloride arrives', () => {
    const law = anode({
      temperature: T,
      oxygen: { equilibrium: 1.0, exchange: 1e-3, transfer: 0.9, limit: Number.POSITIVE_INFINITY },
      chlorine: { equilibrium: 1.4, exchange: 10, transfer: 1, limit: 300 },
    });
    expect(law.restPotential).toBe(1.0);
    const part = law.split(overpotentialAt(law, 1000));
    expect(part.chlorine).toBeLessThanOrEqual(300);
    expect(part.oxygen + part.chlorine).toBeCloseTo(1000, 6);
    expect(part.efficiency).toBe(0);
  });
});

describe('a cell of one dimension, solved by itself', () => {
  // Plane electrodes 100 mm apart, cylinders and spheres of 5 and 50 mm, 298.15 K: solved to 30 digits by bisection
  // elsewhere. The law of each electrode is the one used on parts; the liquid is its closed-form resistance.
  const inf = Number.POSITIVE_INFINITY;
  const bv = (exchange: number, cathodic: number, anodic: number) =>
    metalReaction({ equilibrium: 0, exchange, cathodic, anodic, limit: inf, passivation: inf }, T);
  const shape = {
    plane: { cathode: 1, anode: 1, ohms: (k: number) => 0.1 / k },
    cylinder: {
      cathode: 2 * Math.PI * 0.005,
      anode: 2 * Math.PI * 0.05,
      ohms: (k: number) => Math.log(10) / (2 * Math.PI * k),
    },
    sphere: {
      cathode: 4 * Math.PI * 0.005 ** 2,
      anode: 4 * Math.PI * 0.05 ** 2,
      ohms: (k: number) => (1 / 0.005 - 1 / 0.05) / (4 * Math.PI * k),
    },
  };

  it.each([
    [
      'cylinder',
      10,
      2,
      bv(0.1, 0.5, 0.5),
      bv(10, 0.5, 0.5),
      37.896457418618446,
      0.4829117069498571,
      0.12830516737395,
    ],
    [
      'sphere',
      50,
      0.5,
      bv(10, 0.5, 1.5),
      bv(10, 0.5, 1.5),
      0.708660566087675,
      0.2784380220580207,
      0.018545680221101653,
    ],
    [
      'plane',
      50,
      0.5,
      bv(10, 0.5, 1.5),
      bv(10, 0.5, 1.5),
      155.73051697909642,
      0.14108098195439955,
      0.04745798408740762,
    ],
  ] as const)('%s with %f S/m and %f V', (name, kappa, volts, cathode, anodeLaw, current, etaC, etaA) => {
    const cell = shape[name];
    const eta = (law: (e: number) => readonly [number, number], i: number) => overpotentialAt({ at: law }, i);
    const demand = (i: number) =>
      eta(anodeLaw, i / cell.anode) + i * cell.ohms(kappa) - eta(cathode, -i / cell.cathode) - volts;
    const got = restBetween(demand, 0, volts / cell.ohms(kappa));
    expect(Math.abs(got / current - 1)).toBeLessThan(1e-7);
    expect(-eta(cathode, -got / cell.cathode)).toBeCloseTo(etaC, 7);
    expect(eta(anodeLaw, got / cell.anode)).toBeCloseTo(etaA, 6);
  });
});
