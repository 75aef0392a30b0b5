import { describe, expect, it } from 'vitest';
import { aqueousRecords } from '../../test/aqueous-records.js';
import { libraryFiles, testLibrary } from '../../test/library.js';
import { readAqueousRecords } from './records.js';
import { logKAt } from './system.js';

const records = aqueousRecords();
const charges = new Map(records.components.map((c) => [c.id, c.charge]));
const chargeOf = (id: string): number => {
  const match = /([+-])(\d*)$/.exec(id);
  return match ? Number(`${match[1]}${match[2] || '1'}`) : 0;
};
const sum = (components: Record<string, number>): number =>
  Object.entries(components).reduce((s, [id, n]) => s + n * (id === 'H2O' ? 0 : charges.get(id)!), 0);

describe('records of the water', () => {
  it('every source that a file names is described', () => {
    const sources = testLibrary().sources;
    const found: string[] = [];
    const walk = (value: unknown): void => {
      if (typeof value !== 'object' || value === null) return;
      for (const [key, inner] of Object.entries(value)) {
        if (key === 'source' && typeof inner === 'string') found.push(inner);
        else walk(inner);
      }
    };
    for (const file of libraryFiles())
      if (/aqueous/.test(String((file.content as { document?: string })?.document))) walk(file.content);
    expect(found.length).toBeGreaterThan(50);
    expect(found.filter((key) => !sources.has(key))).toEqual([]);
  });
  it('ids are unique and every species has the charge of its parts', () => {
    const ids = [...records.components.map((c) => c.species), ...records.species.map((s) => s.id)];
    expect(new Set(ids).size).toBe(ids.length);
    for (const s of records.species) expect(sum(s.components), s.id).toBe(chargeOf(s.id));
    for (const s of records.solids) expect(Math.abs(sum(s.components)), s.id).toBeLessThan(1e-9);
  });
  it('interactions and mobilities are of known species, each pair once, a cation with an anion', () => {
    const known = new Set([...records.components.map((c) => c.species), ...records.species.map((s) => s.id)]);
    for (const { pair } of records.interactions) {
      for (const id of pair) expect(known.has(id), id).toBe(true);
      expect(chargeOf(pair[0]) * chargeOf(pair[1])).toBeLessThan(0);
    }
    expect(new Set(records.interactions.map((i) => [...i.pair].sort().join())).size).toBe(
      records.interactions.length,
    );
    for (const m of records.mobilities) expect(known.has(m.id), m.id).toBe(true);
  });
  it('fitted equations meet the tabulated constant at 25 C within 0.02', () => {
    for (const s of records.species)
      if (s.analytic) expect(Math.abs(logKAt(s, 298.15) - s.logK), s.id).toBeLessThan(0.02);
  });
  it('substances give only known components, and a broken file is a problem with its place', () => {
    for (const s of records.substances)
      for (const id of Object.keys(s.gives)) expect(charges.has(id), s.id).toBe(true);
    const read = readAqueousRecords([
      { document: 'aqueous-species', source: 'x', kind: 'fitted', species: [{ id: 'A' }] },
    ]);
    expect(read.ok).toBe(false);
    expect(!read.ok && read.problems[0]!.path).toContain('aqueous-species.species.0');
  });
});
