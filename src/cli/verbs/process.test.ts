import { describe, expect, it, vi } from 'vitest';
import { testLibrary } from '../../../test/library.js';
import { testPractice } from '../../../test/practice.js';
import type { Verb } from '../verb.js';

vi.mock('../practice.js', () => ({ shippedPractice: () => testPractice() }));
vi.mock('../library.js', () => ({ shippedLibrary: () => testLibrary() }));
const { strip } = await import('./strip.js');
const { finish } = await import('./finish.js');
const { hazards } = await import('./hazards.js');
const { price } = await import('./price.js');
const { trouble } = await import('./trouble.js');
const { waste } = await import('./waste.js');
const { weigh } = await import('./weigh.js');

const run = async (verb: Verb, options: Record<string, string>) => {
  const result = await verb.run([], options);
  if (result.status !== 'done') throw new Error(JSON.stringify(result));
  return result as { json: Record<string, unknown>; text: string };
};

describe('verbs around the current', () => {
  it('strip: charge, stop signals, effect on the base', async () => {
    const { json, text } = await run(strip, {
      layer: 'nickel',
      base: 'brass',
      thickness: '10 um',
      area: '40 cm2',
    });
    expect((json.ways as { allowed: boolean }[])[0]!.allowed).toBe(true);
    expect(text).toMatch(/stop when/);
    expect(text).toMatch(/NOT HERE/);
  });

  it('finish: layers, thread, pits, bake, adhesion', async () => {
    const { json, text } = await run(finish, {
      deposit: 'ni',
      base: 'steel',
      service: 'severe',
      evenness: '0.5',
      pitch: '1 mm',
      pit: '100 um',
      strength: '1150 MPa',
    });
    for (const key of ['layers', 'thread', 'pits', 'bake', 'adhesion']) expect(json).toHaveProperty(key);
    expect(text).toContain('64.0 um');
    // Hard steel is not heated to 300 C for a test of adhesion.
    expect(text).not.toContain('Heat and quench');
  });

  it('weigh: thickness, efficiency, and what the scale cannot see', async () => {
    const seen = await run(weigh, {
      metal: 'Ni',
      before: '100 g',
      after: '101.0402 g',
      area: '1 dm2',
      charge: '1 Ah',
    });
    expect((seen.json.efficiency as { value: number }).value).toBeCloseTo(0.95, 3);
    const unseen = await run(weigh, {
      metal: 'Ni',
      before: '100 g',
      after: '101 g',
      area: '5 dm2',
      scale: '1 g',
    });
    expect(unseen.text).toMatch(/cannot see/);
  });

  it('hazards: gases against the room, and what must never meet', async () => {
    const job = { substrate: 'mild-steel', deposit: 'nickel', current: '2 A', duration: '3 h' };
    const { text } = await run(hazards, { ...job, airChanges: '1 1/h' });
    expect(text).toMatch(/hydrogen: 0\.04\d+ L\/h/);
    expect(text).toMatch(/Hydrochloric acid and bleach/);
    const inert = await run(hazards, { ...job, anodeEfficiency: '0 %' });
    expect(inert.text).toMatch(/chlorine.*stop/);
    const refusedPair = await hazards.run([], { ...job, substrate: 'aluminium' });
    expect(refusedPair.status === 'refused' && refusedPair.problems[0]!.code).toBe('combination-refused');
    const bad = await hazards.run([], { ...job, efficiency: '95' });
    expect(bad.status === 'refused' && bad.problems[0]!.code).toBe('share-out-of-range');
  });

  it('waste: dose, residual against the limit, label', async () => {
    const { json, text } = await run(waste, {
      metal: 'nickel',
      volume: '2 L',
      concentration: '12 g/L',
      acid: '0.8 mol/L',
      ph: '10.5',
    });
    expect(json.metalHeld).toBeCloseTo(0.024, 6);
    expect(text).toMatch(/baking soda/);
    expect(text).toMatch(/label: nickel hydroxide sludge/);
    expect(
      (await waste.run([], { metal: 'nickel', volume: '2 L', concentration: '12 g/L', ph: '20' })).status,
    ).toBe('refused');
  });

  it('trouble: causes by the numbers of the job', async () => {
    const result = await trouble.run(['burnt'], {
      know: 'currentFraction=0.9, stirred=no, current=2 A, ph=4.2',
    });
    if (result.status !== 'done') throw new Error(JSON.stringify(result));
    expect((result.json as { causes: { id: string }[] }).causes[0]!.id).toBe('overcurrent');
    expect(result.text).toMatch(/0\.889 A/);
    const bad = await trouble.run(['burnt'], { know: 'phh=4, ph=sour, current=2' });
    expect(bad.status === 'refused' && bad.problems.map((p) => p.code)).toEqual([
      'fact-unknown',
      'fact-unreadable',
      'fact-unreadable',
    ]);
    expect((await trouble.run([], { metal: 'zinc' })).status).toBe('done');
    expect((await trouble.run([], { metal: 'unobtainium' })).status).toBe('refused');
  });

  it('price: lines that add up', async () => {
    const job = { substrate: 'brass', deposit: 'nickel', area: '1 dm2', thickness: '10 um', labour: '40' };
    const { json } = await run(price, {
      ...job,
      metalPrice: '30',
      polish: '90 min',
      redo: '20 %',
      tax: '19 %',
    });
    const q = json as unknown as { lines: { what: string; max: number }[]; net: { max: number } };
    expect(q.lines.reduce((sum, l) => sum + l.max, 0)).toBeCloseTo(q.net.max, 9);
    expect(q.lines.find((l) => l.what === 'nickel')!.max).toBe(0.03); // 0.89 g of nickel
    expect((await price.run([], { ...job, deposit: 'chromium' })).status).toBe('refused');
    expect((await price.run([], { ...job, labour: 'lots' })).status).toBe('refused');
  });

  it('refuse with every problem at once', async () => {
    const stripped = await strip.run([], { layer: 'nickel', thickness: '10', area: '-1 cm2' });
    expect(stripped.status === 'refused' && stripped.problems.map((p) => p.code)).toEqual([
      'option-missing',
      'unit-missing',
      'not-positive',
    ]);
    expect((await weigh.run([], { metal: 'unobtainium', before: '1 g', after: '2 g' })).status).toBe(
      'refused',
    );
    expect((await finish.run([], { deposit: 'nickel', base: 'brass', service: 'harsh' })).status).toBe(
      'refused',
    );
  });
});
