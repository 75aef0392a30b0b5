import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { testLibrary } from '../../test/library.js';
import { waterViscosity } from '../aqueous/index.js';
import { anodeParameters, bathState, cathodeParameters } from '../library/index.js';
import { type Parameter, parameterAt } from '../units/index.js';
import { bathAnode, bathCathode, overpotentialAt, type SurfaceLaw, tabulated } from './index.js';

const library = testLibrary();
const plated = [...library.baths.values()].filter((b) => !b.refused);
const around = { height: 0.04, waterViscosity };

function laws(id: string, z = (_: Parameter) => 0, choice = {}) {
  const bath = library.baths.get(id)!;
  const state = bathState(library, bath, choice);
  const anodeMetal = bath.anodes![0]!.metal;
  const list = [...cathodeParameters(library, bath, state), ...anodeParameters(library, bath, anodeMetal)];
  const values = new Map(list.map((p) => [p.name, parameterAt(p, z(p))]));
  const inert = new Map([...values].filter(([name]) => !name.startsWith('anode.')));
  for (const p of anodeParameters(library, bath, 'inert')) inert.set(p.name, p.nominal);
  return {
    state,
    list,
    cathode: bathCathode(state, values, around),
    anode: bathAnode(state, values, around),
    inert: bathAnode(state, inert, around),
  };
}

/** Slope by Richardson's differences, to compare with the one the law states. */
function slopeOf(law: Pick<SurfaceLaw, 'at'>, eta: number): number {
  const step = 1e-4;
  const d = (h: number) => (law.at(eta + h)[0] - law.at(eta - h)[0]) / (2 * h);
  return (4 * d(step / 2) - d(step)) / 3;
}

describe.each(plated.map((b) => b.id))('the laws of %s', (id) => {
  const nominal = laws(id);

  it('carry no current at rest, cathodic below, anodic above', () => {
    for (const law of [nominal.cathode, nominal.anode]) {
      expect(Math.abs(law.at(0)[0])).toBeLessThan(1e-6);
      expect(law.at(-0.3)[0]).toBeLessThan(0);
      expect(law.at(0.3)[0]).toBeGreaterThan(0);
    }
  });

  it('rise strictly, with the slope they state, whatever the parameters within three deviations', () => {
    const seed = 20261125;
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -3, max: 3, noNaN: true }), { minLength: 60, maxLength: 60 }),
        fc.double({ min: -1.6, max: 2.4, noNaN: true }),
        (z, eta) => {
          let k = 0;
          const moved = laws(id, () => z[k++ % z.length]!);
          for (const law of [moved.cathode, moved.anode, moved.inert]) {
            const [i, slope] = law.at(eta);
            expect(Number.isFinite(i)).toBe(true);
            expect(slope).toBeGreaterThan(0);
            expect(law.at(eta + 0.01)[0]).toBeGreaterThanOrEqual(i);
            const measured = slopeOf(law, eta);
            // Differences of a saturated current lose their digits; the current's own size sets that floor.
            expect(Math.abs(measured - slope)).toBeLessThan(1e-5 * slope + 1e-9 * Math.abs(i) + 1e-9);
          }
        },
      ),
      { seed, numRuns: 25 },
    );
  });

  it('split what they carry', () => {
    for (const i of [0.5, 20, 150, 900, 6000]) {
      const eta = overpotentialAt(nominal.cathode, -i);
      const part = nominal.cathode.split(eta);
      expect(part.metal + part.hydrogen).toBeCloseTo(i, 6);
      expect(part.metal).toBeLessThanOrEqual(nominal.cathode.metalLimit * (1 + 1e-12));
      expect(part.surfacePH).toBeGreaterThanOrEqual(nominal.state.pH - 1e-9);
      const a = nominal.anode.split(overpotentialAt(nominal.anode, i));
      expect(a.dissolution + a.oxygen + a.chlorine).toBeCloseTo(i, 6);
      expect(a.dissolution).toBeLessThanOrEqual(nominal.anode.dissolutionLimit * (1 + 1e-12));
    }
  });

  it('survive absurd potentials', () => {
    for (const law of [nominal.cathode, nominal.anode, nominal.inert])
      for (const eta of [-50, -5, 5, 50]) {
        const [i, slope] = law.at(eta);
        expect(Number.isFinite(i) && Number.isFinite(slope)).toBe(true);
      }
  });

  it('read the same from a table, and rise there too', () => {
    for (const law of [nominal.cathode, nominal.anode, nominal.inert]) {
      const table = tabulated(law, -1.5, 1.5);
      for (let eta = -1.49; eta < 1.49; eta += 0.00473) {
        const [i, slope] = law.at(eta);
        const [ti, tSlope] = table.at(eta);
        expect(Math.abs(ti - i)).toBeLessThan(3e-6 * Math.max(Math.abs(i), slope * 1e-3));
        expect(Math.abs(tSlope / slope - 1)).toBeLessThan(5e-3);
        expect(tSlope).toBeGreaterThan(0);
      }
      expect(table.at(-3)).toEqual(law.at(-3));
    }
  });
});

describe('what the laws say of known baths', () => {
  const efficiency = (id: string, i: number, choice = {}) => {
    const { cathode } = laws(id, () => 0, choice);
    return cathode.split(overpotentialAt(cathode, -i)).efficiency;
  };

  it.each(plated.filter((b) => b.calibrated).map((b) => b.id))(
    '%s has the efficiency of its record in the usual run',
    (id) => {
      const usual = library.baths.get(id)!.currentDensity!.typical!;
      for (const z of [-1.6, 0, 1.2]) {
        const moved = laws(id, (p) =>
          p.distribution === 'exact' ? 0 : p.name === 'bath.efficiency' ? z : 0.7,
        );
        const record = moved.list.find((p) => p.name === 'bath.efficiency')!;
        const got = moved.cathode.split(overpotentialAt(moved.cathode, -usual)).efficiency;
        // An efficiency of 1 or more cannot be had; hydrogen is then scaled as far down as the search goes.
        const wanted = Math.min(parameterAt(record, z), 1);
        expect(Math.abs(got - wanted), `${got} for ${wanted}`).toBeLessThan(2e-3);
      }
    },
  );

  it('keeps the usual run where it is when only this run is stirred otherwise', () => {
    const still = laws('watts-nickel', () => 0, { agitation: 'still' });
    const gentle = laws('watts-nickel');
    const at = (c: typeof still) => c.cathode.split(overpotentialAt(c.cathode, -400));
    expect(at(gentle).efficiency).toBeCloseTo(0.955, 4);
    // Less acid reaches the part: less hydrogen, a higher pH.
    expect(at(still).efficiency).toBeGreaterThan(at(gentle).efficiency + 1e-3);
    expect(at(still).surfacePH).toBeGreaterThan(at(gentle).surfacePH);
  });

  it('Watts nickel stays within the 93 to 97 % of the trade over 2 to 7 A/dm2', () => {
    for (const i of [200, 400, 700]) {
      expect(efficiency('watts-nickel', i)).toBeGreaterThan(0.93);
      expect(efficiency('watts-nickel', i)).toBeLessThan(0.975);
    }
  });

  it('acid copper is close to 100 % below its limit', () => {
    expect(efficiency('acid-copper', 300)).toBeGreaterThan(0.99);
  });

  it('hydrogen takes over beyond the limiting current and in sour weak nickel', () => {
    expect(efficiency('acetate-nickel', 600)).toBeLessThan(0.15);
    expect(efficiency('acetate-nickel', 30, { pH: 3 })).toBeLessThan(0.2);
    expect(efficiency('acetate-nickel', 30, { pH: 5.25 })).toBeGreaterThan(0.7);
  });

  it('surface pH climbs with current', () => {
    const { cathode } = laws('watts-nickel');
    const pH = [50, 200, 700, 4500].map((i) => cathode.split(overpotentialAt(cathode, -i)).surfacePH);
    expect(pH).toEqual([...pH].sort((a, b) => a - b));
    expect(pH[3]!).toBeGreaterThan(7);
  });

  it('a nickel anode goes passive earlier with less chloride', () => {
    expect(laws('acetate-nickel').anode.dissolutionLimit).toBeLessThan(
      laws('watts-nickel').anode.dissolutionLimit / 3,
    );
    const { anode } = laws('acetate-nickel');
    const part = anode.split(overpotentialAt(anode, 2 * anode.dissolutionLimit));
    expect(part.efficiency).toBeCloseTo(0.5, 1);
    expect(part.oxygen + part.chlorine).toBeGreaterThan(0);
    expect(part.passivation).toBeGreaterThan(0.9);
  });

  it.each(plated.map((b) => b.id))('%s limits higher the more it is moved', (id) => {
    const limits = ['still', 'gentle', 'stirred', 'pumped'].map(
      (agitation) => laws(id, () => 0, { agitation }).cathode.metalLimit,
    );
    expect(limits).toEqual([...limits].sort((a, b) => a - b));
  });

  it('a still Watts bath at 55 C limits near 10 A/dm2 and stronger stirring near 20 to 60', () => {
    const limit = (agitation: string) =>
      laws('watts-nickel', () => 0, { agitation }).cathode.metalLimit / 100;
    expect(limit('still')).toBeGreaterThan(5);
    expect(limit('still')).toBeLessThan(40);
    expect(limit('stirred')).toBeGreaterThan(20);
    expect(limit('pumped')).toBeLessThan(150);
  });
});
