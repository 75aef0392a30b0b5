import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openStore, type Store } from './index.js';

let store: Store;
let clock = 0;
beforeEach(async () => {
  clock = 0;
  store = await openStore(':memory:', () => ++clock);
});
afterEach(() => store.close());

describe('jobs', () => {
  it('keeps every version and walks back and forth', async () => {
    const first = await store.jobs.create('j', { name: 'Spoon', n: 1 });
    expect(first).toMatchObject({ name: 'Spoon', canUndo: false, canRedo: false });
    const second = await store.jobs.save('j', first.version, { name: 'Spoon', n: 2 });
    expect(second.kind).toBe('saved');
    const back = (await store.jobs.undo('j'))!;
    expect(back).toMatchObject({ version: first.version, document: { n: 1 }, canRedo: true });
    expect(await store.jobs.redo('j')).toMatchObject({ document: { n: 2 }, canUndo: true, canRedo: false });
  });

  it('keeps the branch that an edit after undo leaves behind', async () => {
    const first = await store.jobs.create('j', { n: 1 });
    await store.jobs.save('j', first.version, { n: 2 });
    await store.jobs.undo('j');
    const third = await store.jobs.save('j', first.version, { n: 3 });
    expect(third).toMatchObject({ kind: 'saved', job: { document: { n: 3 }, canRedo: false } });
    expect((await store.jobs.history('j')).map((v) => v.parent)).toEqual([null, 1, 1]);
    await store.jobs.undo('j');
    expect(await store.jobs.redo('j')).toMatchObject({ document: { n: 3 } });
  });

  it('refuses to overwrite what another page saved, and hands it back', async () => {
    const first = await store.jobs.create('j', { n: 1 });
    await store.jobs.save('j', first.version, { n: 2 });
    const late = await store.jobs.save('j', first.version, { n: 9 });
    expect(late).toMatchObject({ kind: 'conflict', job: { document: { n: 2 } } });
    expect(await store.jobs.save('nobody', 1, {})).toEqual({ kind: 'missing' });
  });

  it('stores nothing new for an unchanged document', async () => {
    const first = await store.jobs.create('j', { n: 1 });
    const again = await store.jobs.save('j', first.version, { n: 1 });
    expect(again).toMatchObject({ kind: 'saved', job: { version: first.version } });
  });

  it('does not list what was archived', async () => {
    await store.jobs.create('j', { name: 'Old' });
    await store.jobs.create('k', { name: '' });
    expect(await store.jobs.archive('j')).toBe(true);
    expect((await store.jobs.list()).map((j) => j.name)).toEqual(['Untitled job']);
    expect(await store.jobs.archive('nobody')).toBe(false);
  });
});

describe('parts, forecasts, shelf and settings', () => {
  it('gives back a file byte for byte', async () => {
    const bytes = Uint8Array.from({ length: 700 }, (_, i) => (i * 37) % 256);
    await store.parts.add({
      id: 'p',
      name: 'Ring',
      fileName: 'ring.stl',
      unit: 'mm',
      report: { r: 1 },
      bytes,
    });
    expect(new Uint8Array((await store.parts.bytes('p'))!)).toEqual(bytes);
    expect(await store.parts.change('p', { unit: 'in' })).toMatchObject({ unit: 'in', report: { r: 1 } });
    expect(await store.parts.list()).toHaveLength(1);
    await store.parts.archive('p');
    expect(await store.parts.list()).toHaveLength(0);
  });

  it('replaces the forecast of one version only', async () => {
    await store.forecasts.put('j', 7, 'draft', { current: 1 });
    await store.forecasts.put('j', 7, 'standard', { current: 2 });
    expect(await store.forecasts.get(7)).toMatchObject({ quality: 'standard', result: { current: 2 } });
    expect(await store.forecasts.get(8)).toBeUndefined();
  });

  it('keeps settings and the shelf', async () => {
    await store.settings.set('units', 'inch');
    await store.settings.set('units', 'metric');
    expect(await store.settings.all()).toEqual({ units: 'metric' });
    await store.shelf.add({ id: 'v', kind: 'vessel', name: 'Beaker', document: { height: '110 mm' } });
    expect(await store.shelf.list('anode')).toEqual([]);
    expect(await store.shelf.list('vessel')).toMatchObject([{ document: { height: '110 mm' } }]);
  });
});

it('opens what it wrote, with nothing migrated twice', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'platewright-store-'));
  try {
    const path = join(folder, 'book.sqlite');
    const one = await openStore(path);
    await one.jobs.create('j', { name: 'Kept' });
    await one.close();
    const two = await openStore(path);
    expect(await two.jobs.list()).toMatchObject([{ name: 'Kept' }]);
    await two.close();
  } finally {
    rmSync(folder, { recursive: true });
  }
});
