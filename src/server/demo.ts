import { randomUUID } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { parse } from 'yaml';
import { z } from 'zod';
import type { Store } from '../store/index.js';

/** The shelf of the demo workshop as its file has it. */
const shelf = z.array(
  z.object({
    kind: z.enum(['vessel', 'bath', 'anode', 'supply', 'hook']),
    name: z.string(),
    document: z.record(z.string(), z.unknown()),
  }),
);

/**
 * Fills an empty bench book, once, with the workshop in `folder`: `shelf.yaml`, and every other YAML file as a job.
 * A book that was ever seeded, or holds a job, is left alone.
 */
export async function seedDemo(store: Store, folder: string): Promise<void> {
  if ((await store.settings.all())['demo-seeded'] === true || !existsSync(folder)) return;
  if ((await store.jobs.list()).length === 0) {
    const files = readdirSync(folder).filter((f) => f.endsWith('.yaml'));
    const read = (file: string): unknown => parse(readFileSync(join(folder, file), 'utf8'));
    if (files.includes('shelf.yaml'))
      for (const item of shelf.parse(read('shelf.yaml')))
        await store.shelf.add({ id: randomUUID(), ...item });
    for (const file of files
      .filter((f) => basename(f) !== 'shelf.yaml')
      .sort()
      .reverse())
      await store.jobs.create(randomUUID(), read(file));
  }
  await store.settings.set('demo-seeded', true);
}
