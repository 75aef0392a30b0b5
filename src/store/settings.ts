import type { Kysely } from 'kysely';
import type { Tables } from './schema.js';
import type { SettingsStore } from './store.js';

export function settingsStore(db: Kysely<Tables>): SettingsStore {
  return {
    async all() {
      const rows = await db.selectFrom('settings').selectAll().execute();
      return Object.fromEntries(rows.map(({ key, value }) => [key, JSON.parse(value)]));
    },
    async set(key, value) {
      const text = JSON.stringify(value);
      await db
        .insertInto('settings')
        .values({ key, value: text })
        .onConflict((c) => c.column('key').doUpdateSet({ value: text }))
        .execute();
    },
  };
}
