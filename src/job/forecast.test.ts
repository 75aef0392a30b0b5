import { describe, expect, it } from 'vitest';
import { bandJob } from '../../test/fixtures/band-job.js';
import { testLibrary } from '../../test/library.js';
import { loadBooleans } from '../geometry/index.js';
import { UNWATCHED } from '../numerics/index.js';
import { runForecast } from './forecast.js';
import { readJob } from './read.js';

const library = testLibrary();

async function run(edit: Record<string, unknown> = {}, options = { bands: false }) {
  const read = readJob({ ...bandJob(), quality: 'draft', ...edit });
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  const context = { library, meshes: new Map(), booleans: await loadBooleans() };
  return runForecast(read.value, context, UNWATCHED, options);
}

async function good(edit: Record<string, unknown> = {}, options = { bands: false }) {
  const result = await run(edit, options);
  if (!result.ok) throw new Error(JSON.stringify(result.problems));
  return result.value;
}

const part = (more: Record<string, unknown>) => ({ ...bandJob().part, ...more });

describe('a forecast', { timeout: 60_000 }, () => {
  it('keeps the books: charge, mass, volts and thickness agree with each other', async () => {
    const { forecast: f } = await good();
    expect(f.charge).toBeCloseTo(f.current * f.duration, 9);
    expect(f.voltageParts.reduce((sum, p) => sum + p.value, 0)).toBeCloseTo(f.cellVoltage, 6);
    // Faraday over the whole part, efficiency from the split: without a hook all current goes to the part.
    const faraday = (f.charge * f.efficiency.mean * 58.6934e-3) / (2 * 96485.332);
    expect(f.depositMass / faraday).toBeCloseTo(1, 5);
    expect(f.thickness.mean * 8908 * f.area.part).toBeCloseTo(f.depositMass, 7);
    expect(f.thickness.significant.quantiles['0.05']).toBeCloseTo(1e-5, 8);
    expect(f.field.imbalance).toBeLessThan(1e-6);
    expect(f.field.status).toBe('converged');
  });

  it('is symmetric where the set-up is', async () => {
    const { forecast: f } = await good();
    expect(f.anodes[0]!.current / f.anodes[1]!.current).toBeCloseTo(1, 3);
  });

  it('lays nothing under a mask and counts only what is significant', async () => {
    const half = { box: { from: ['-20 mm', '-20 mm', '0 mm'], to: ['20 mm', '20 mm', '20 mm'] } };
    const all = await good();
    const masked = await good({ part: part({ masked: [half] }) });
    expect(masked.forecast.area.part / all.forecast.area.part).toBeCloseTo(0.5, 1);
    const significant = await good({ part: part({ significant: [half] }) });
    expect(significant.forecast.area.part).toBeCloseTo(all.forecast.area.part, 9);
    expect(significant.forecast.area.significant / all.forecast.area.part).toBeCloseTo(0.5, 1);
  });

  it('turns a part seen from one side into an even one', async () => {
    const one = { anodes: [bandJob().anodes[0]] };
    const still = await good(one);
    const turned = await good({
      ...one,
      poses: [
        { turn: '0 deg', share: '50 %' },
        { turn: '180 deg', share: '50 %' },
      ],
    });
    const spread = (f: typeof still.forecast) =>
      f.thickness.significant.quantiles['0.95']! / f.thickness.significant.quantiles['0.05']!;
    expect(spread(turned.forecast)).toBeLessThan(spread(still.forecast));
  });

  it('adds steps, and the open one takes what the others leave', async () => {
    const { forecast: f } = await good({
      steps: [
        { name: 'strike', drive: { current: '0.5 A' }, time: '2 min' },
        { name: 'plate', drive: { current: '0.3 A' } },
      ],
    });
    const plain = await good({ steps: [{ name: 'plate', drive: { current: '0.3 A' } }] });
    expect(f.steps.map((s) => s.name)).toEqual(['strike', 'plate']);
    expect(f.steps[1]!.duration).toBeLessThan(plain.forecast.duration);
    expect(f.thickness.significant.quantiles['0.05']).toBeCloseTo(1e-5, 8);
  });

  it('counts a pulse train by its mean and shows its peak', async () => {
    const { forecast: f } = await good({
      steps: [{ name: 'pulses', drive: { current: '0.3 A' }, pulse: { on: '10 ms', off: '10 ms' } }],
    });
    expect(f.steps[0]!.current).toBeCloseTo(0.3, 6);
    expect(f.steps[0]!.peakCurrent).toBeCloseTo(0.6, 6);
  });

  it('lowers the current to what the supply gives and says so', async () => {
    const { forecast: f } = await good({ supply: { maxCurrent: '0.1 A', maxVoltage: '30 V' } });
    expect(f.current).toBeLessThanOrEqual(0.1 * 1.03);
    expect(f.limits[0]!.what).toBe('supply current');
  });

  it('carries bands that hold the figure and say what makes them', async () => {
    const { forecast: f } = await good({}, { bands: true });
    for (const key of ['thickness', 'cellVoltage', 'duration', 'depositMass'] as const) {
      const band = f.band[key];
      const value = key === 'thickness' ? f.thickness.significant.quantiles['0.05']! : f[key];
      expect(band.low).toBeLessThan(value);
      expect(band.high).toBeGreaterThan(value);
      expect(band.shares.reduce((sum, s) => sum + s.share, 0)).toBeGreaterThan(0.99);
      for (const { record } of band.shares) expect(f.records.some((r) => r.id === record)).toBe(true);
    }
  });

  it.each([
    [
      'anode through the part',
      { anodes: [{ ...bandJob().anodes[0], position: ['10 mm', '0 mm', '65 mm'] }] },
      'short-circuit',
      'anodes[0]',
    ],
    [
      'part outside the vessel',
      { part: part({ position: ['60 mm', '0 mm', '45 mm'] }) },
      'outside-vessel',
      'part.placement',
    ],
    [
      'part above the liquid',
      { part: part({ position: ['0 mm', '0 mm', '95 mm'] }) },
      'above-liquid',
      'part.placement',
    ],
    [
      'stainless anode',
      { anodes: [{ ...bandJob().anodes[0], metal: 'stainless steel' }] },
      'anode-refused',
      'anodes[0].metal',
    ],
    [
      'copper anode in nickel',
      { anodes: [{ ...bandJob().anodes[0], metal: 'Cu' }] },
      'anode-does-not-fit',
      'anodes[0].metal',
    ],
    ['cyanide bath', { bath: { record: 'cyanide silver' } }, 'bath-refused', 'bath.record'],
    ['unknown bath', { bath: { record: 'wats nickel' } }, 'bath-unknown', 'bath.record'],
    ['zero aim', { aim: { thickness: '0 um' } }, 'number-absurd', 'aim.thickness'],
    [
      'negative current',
      { steps: [{ name: 'x', drive: { current: '-1 A' } }] },
      'number-absurd',
      'steps[0].drive.current',
    ],
    [
      'boiling bath',
      { bath: { record: 'watts-nickel', temperature: '120 C' } },
      'bath-impossible',
      'bath.temperature',
    ],
    [
      'no liquid',
      { vessel: { kind: 'beaker', diameter: '80 mm', height: '110 mm' } },
      'liquid-level',
      'vessel',
    ],
  ])('refuses: %s', async (_, edit, code, path) => {
    const result = await run(edit);
    expect(result.ok).toBe(false);
    if (result.ok) return;
    const found = result.problems.find((p) => p.code === code);
    expect(found, JSON.stringify(result.problems)).toBeDefined();
    expect(found!.path.startsWith(path)).toBe(true);
  });
});
