import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../../test/aqueous-records.js';
import { FARADAY } from '../../units/index.js';
import { cellNow, overpotentialFor } from './cell.js';
import type { BeakerLaws, BeakerSetup, ElectrodeLaw, Electrodes } from './model.js';
import { runBeaker } from './run.js';

const records = aqueousRecords();

/** Two ohmic electrodes, the anode dissolving with all its current, the cathode plating a fixed share. */
const ohmic = (share: number): Electrodes => {
  const law = (rest: number): ElectrodeLaw => ({ restPotential: rest, at: (eta) => [100 * eta, 100] });
  const laws: BeakerLaws = {
    anode: { ...law(0), split: (eta) => ({ dissolution: 100 * eta, oxygen: 0, chlorine: 0 }) },
    cathode: {
      ...law(-0.2),
      split: (eta) => ({ metal: -100 * eta * share, hydrogen: -100 * eta * (1 - share) }),
    },
  };
  return () => laws;
};
const setup: BeakerSetup = {
  metal: 'Ni',
  electrons: 2,
  amounts: { acetate: 0.2, Na: 0.02, Cl: 0.02 },
  water: 0.24,
  temperature: 293.15,
  surroundings: { temperature: 293.15, humidity: 0.5, heatLoss: 0.35, openArea: 4e-3, vessel: 120 },
  drive: { current: 0.5 },
  anodeArea: 2e-3,
  cathodeArea: 1e-3,
  cellConstant: 25,
  leads: 0.1,
  metalAtCathode: 1,
};

describe('the cell', () => {
  it('finds the overpotential of an exponential law over twelve decades', () => {
    const law: ElectrodeLaw = {
      restPotential: 0,
      at: (e) => [
        1e-3 * (Math.exp(40 * e) - Math.exp(-20 * e)),
        1e-3 * (40 * Math.exp(40 * e) + 20 * Math.exp(-20 * e)),
      ],
    };
    for (const i of [-1e5, -1, -1e-6, 1e-6, 1, 1e5])
      expect(Math.abs(law.at(overpotentialFor(law, i, 0.1))[0] / i - 1)).toBeLessThan(1e-8);
  });
  it('shares voltage between electrodes and liquid as Ohm says (closed form)', () => {
    const memory = { anode: 0, cathode: 0, current: 0 };
    const c = cellNow({ ...setup, drive: { voltage: 5 } }, ohmic(0.5)({} as never), 2, memory);
    const R = 25 / 2 + 0.1 + 1 / (100 * 2e-3) + 1 / (100 * 1e-3);
    expect(c.total).toBeCloseTo((5 - 0.2) / R, 8);
    expect(cellNow({ ...setup, drive: { voltage: 0.1 } }, ohmic(0.5)({} as never), 2, memory).total).toBe(0);
  });
});

describe('the beaker in time', () => {
  it('dissolves by Faraday, less what plates back (closed form)', () => {
    const run = runBeaker(setup, 3600, records, ohmic(0.25));
    const last = run.points.at(-1)!;
    expect(run.status).toBe('done');
    const mol = ((0.5 * 3600) / (2 * FARADAY)) * 0.75;
    expect(Math.abs(last.dissolved - last.plated - mol) / mol).toBeLessThan(1e-6);
    expect(Math.abs((last.metal * last.volume) / 58.6934e-3 / mol - 1)).toBeLessThan(1e-5);
  });
  it('keeps metal and charge to 1e-9 at every step', () => {
    const run = runBeaker({ ...setup, drive: { voltage: 9 } }, 7200, records, ohmic(0.25));
    for (const p of run.points) expect(p.balance).toBeLessThan(1e-9);
  });
  it('warms to the balance of heat and loss (closed form: power over loss, without evaporation)', () => {
    const still = { ...setup, surroundings: { ...setup.surroundings, openArea: 0 } };
    const run = runBeaker(still, 12 * 3600, records, ohmic(0.999));
    const last = run.points.at(-1)!;
    const expected = (last.total * last.voltage) / 0.35;
    expect(Math.abs((last.temperature - 293.15) / expected - 1)).toBeLessThan(0.03);
  });
  it('an open surface loses water; 0.05 to 0.2 kg/(m2 h) at 20 C and half humidity (common practice, no source)', () => {
    const run = runBeaker({ ...setup, drive: { current: 1e-6 } }, 36000, records, ohmic(0.5));
    const rate = (setup.water - run.points.at(-1)!.water) / 10 / 4e-3;
    expect(rate).toBeGreaterThan(0.05);
    expect(rate).toBeLessThan(0.2);
  });
  it('stops when boiling, and says when the acid is used up', () => {
    expect(runBeaker({ ...setup, drive: { current: 6 } }, 36000, records, ohmic(0.5)).end).toBe('boiling');
    const small = { ...setup, amounts: { acetate: 0.01, Na: 0.02, Cl: 0.02 }, drive: { current: 0.1 } };
    expect(runBeaker(small, 36000, records, ohmic(0.1)).standstill?.reason).toBe('acid-used-up');
  });
});
