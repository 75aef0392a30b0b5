import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { equilibrium } from './equilibrium.js';

const folder = mkdtempSync(join(tmpdir(), 'platewright-'));
afterAll(() => rmSync(folder, { recursive: true }));

const run = (composition: unknown) => {
  const file = join(folder, 'composition.json');
  writeFileSync(file, typeof composition === 'string' ? composition : JSON.stringify(composition));
  return equilibrium.run([file], {});
};

describe('platewright equilibrium', () => {
  it('prints every key scripts rely on', async () => {
    const result = await run({
      temperature: 298.15,
      totals: { acetate: 0.83, Na: 0.5, Cl: 0.5, Ni: 0.1 },
      solids: 'none',
    });
    expect(result.status).toBe('done');
    if (result.status !== 'done') return;
    const json = result.json as Record<string, number> & {
      species: Record<string, number>;
      records: string[];
    };
    expect(Math.abs(json.pH! - 3.9)).toBeLessThan(0.1);
    for (const key of ['ionicStrength', 'conductivity', 'density', 'viscosity'])
      expect(json[key]).toBeGreaterThan(0);
    for (const key of ['solids', 'saturation', 'band', 'warnings']) expect(json).toHaveProperty(key);
    expect(json.species['Ni+2']).toBeGreaterThan(0.02);
    expect(json.records.some((r) => r.includes('Ni(acetate)+'))).toBe(true);
    expect(result.text).toContain('pH 3.9');
  });
  it('holds a pH with alkali not named, and lets hydroxide drop out', async () => {
    const result = await run({
      temperature: 298.15,
      totals: { Ni: 0.1, SO4: 0.1 },
      solids: 'allowed',
      pH: 9,
    });
    if (result.status !== 'done') throw new Error(result.status);
    const json = result.json as { pH: number; solids: Record<string, number>; acidAdded: number };
    expect(json.pH).toBeCloseTo(9, 9);
    expect(json.solids['Ni(OH)2']).toBeGreaterThan(0.09);
    expect(json.acidAdded).toBeLessThan(-0.15);
  });
  it('refuses what cannot be, and files that are not there or not JSON', async () => {
    expect(await run({ temperature: 298.15, totals: { Na: 85, Cl: 85 } })).toMatchObject({
      status: 'refused',
      problems: [{ code: 'impossible-amount' }],
    });
    expect(await run('{')).toMatchObject({ status: 'refused', problems: [{ code: 'not-json' }] });
    expect(await equilibrium.run([join(folder, 'none.json')], {})).toMatchObject({
      status: 'refused',
      problems: [{ code: 'file-missing' }],
    });
  });
});
