import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import { Equilibrator } from './equilibrium.js';
import { describeLiquid } from './liquid.js';
import { compileSystem } from './system.js';

const records = aqueousRecords();
const cations = ['Na', 'K', 'NH4', 'Ni', 'Cu', 'Zn', 'Sn(2)', 'Ag'];
const anions = ['Cl', 'SO4', 'acetate', 'borate', 'sulfamate', 'citrate', 'CO3'];

/** Random liquids: up to four of each sort, 1e-6 to 3 mol/kg, 5 to 80 C. fast-check prints the seed of a failure. */
const liquids = fc.record({
  temperature: fc.double({ min: 278.15, max: 353.15, noNaN: true }),
  totals: fc
    .tuple(
      fc.subarray(cations, { maxLength: 4 }),
      fc.subarray(anions, { minLength: 1, maxLength: 4 }),
      fc.array(fc.double({ min: -6, max: 0.4, noNaN: true }), { minLength: 8, maxLength: 8 }),
    )
    .map(([c, a, logs]) => Object.fromEntries([...c, ...a].map((id, i) => [id, 10 ** logs[i]]))),
});

describe('random liquids', () => {
  it('settle with every balance held, without solids', () => {
    fc.assert(
      fc.property(liquids, ({ temperature, totals }) => {
        const e = new Equilibrator(compileSystem(records, Object.keys(totals))).solve({
          temperature,
          totals,
          solids: false,
        });
        if (e.ionicStrength > 6) return;
        expect(e.status).toBe('converged');
        expect(e.residual).toBeLessThan(1e-10);
      }),
      { numRuns: 400 },
    );
  });

  it('settle with solids: none is oversaturated, none present is undersaturated, mass is kept', () => {
    fc.assert(
      fc.property(liquids, ({ temperature, totals }) => {
        const e = new Equilibrator(compileSystem(records, Object.keys(totals))).solve({
          temperature,
          totals,
          solids: true,
        });
        if (e.ionicStrength > 6) return;
        expect(e.status).toBe('converged');
        e.system.solids.forEach((s, k) => {
          if (s.record.form === 'fresh') expect(e.saturation[k]).toBeLessThan(1e-6);
          if (e.solids[k] > 1e-9) expect(Math.abs(e.saturation[k])).toBeLessThan(1e-6);
        });
        e.system.components.forEach((id, i) => {
          if (id === 'H') return;
          let sum = e.molality.reduce((t, m, j) => t + m * e.system.species[j].nu[i], 0);
          sum += e.system.solids.reduce((t, s, k) => t + s.nu[i] * e.solids[k], 0);
          expect(Math.abs(sum / totals[id] - 1)).toBeLessThan(1e-8);
        });
      }),
      { numRuns: 400 },
    );
  });

  it('have finite, positive properties', () => {
    fc.assert(
      fc.property(liquids, ({ temperature, totals }) => {
        const l = describeLiquid({ temperature, totals, solids: false }, records);
        for (const value of [
          l.mixture.density,
          l.mixture.viscosity,
          l.transport.conductivity,
          l.bufferCapacity,
        ]) {
          expect(Number.isFinite(value)).toBe(true);
          expect(value).toBeGreaterThan(0);
        }
      }),
      { numRuns: 60 },
    );
  });
});
