import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../../test/aqueous-records.js';
import { testLibrary } from '../../../test/library.js';
import { type BeakerAsk, forecastBeaker } from '../../job/beaker.js';
import type { BeakerSetup } from './model.js';

const records = aqueousRecords();
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

describe('joined with the electrode laws of the library', () => {
  const library = testLibrary();
  const ask: BeakerAsk = {
    bath: 'acetate-nickel',
    anode: 'Ni',
    agitation: 'still',
    height: 0.05,
    duration: 5400,
    setup: { ...setup, drive: { voltage: 12 } },
  };
  it('twelve volts for an hour and a half colour a small beaker: 1 to 10 g/L, warm, not boiling (common practice, no source)', () => {
    const read = forecastBeaker(ask, library, records);
    if (!read.ok) throw new Error(JSON.stringify(read.problems));
    const { run, band, helps } = read.value;
    const last = run.points.at(-1)!;
    expect(last.metal).toBeGreaterThan(1);
    expect(last.metal).toBeLessThan(10);
    expect(last.temperature).toBeGreaterThan(298);
    expect(last.temperature).toBeLessThan(345);
    expect(last.pH).toBeGreaterThan(run.points[0]!.pH + 0.5);
    expect(band.metal.low).toBeLessThan(last.metal);
    expect(band.metal.high).toBeGreaterThan(last.metal);
    expect(run.ceiling).toBeGreaterThan(last.metal);
    expect(helps.length).toBe(7);
    // Behind a wall less metal plates back (the wall is not there to make it worse).
    expect(helps.find((h) => h.change.includes('wall'))!.metal).toBeGreaterThan(last.metal);
    for (const p of run.points) expect(p.balance).toBeLessThan(1e-9);
  });
  it('refuses a stainless anode, a cyanide bath and an area of nothing', () => {
    expect(forecastBeaker({ ...ask, anode: 'stainless steel' }, library, records)).toMatchObject({
      ok: false,
      problems: [{ code: 'anode-forbidden' }],
    });
    expect(forecastBeaker({ ...ask, bath: 'cyanide-silver' }, library, records).ok).toBe(false);
    expect(forecastBeaker({ ...ask, setup: { ...setup, anodeArea: 0 } }, library, records)).toMatchObject({
      ok: false,
      problems: [{ path: 'anodeArea' }],
    });
  });
});
