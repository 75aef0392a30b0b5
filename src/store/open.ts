import Database from 'better-sqlite3';
import { Kysely, Migrator, SqliteDialect } from 'kysely';
import { forecastStore } from './forecasts.js';
import { jobStore } from './jobs.js';
import { migrations } from './migrations.js';
import { partStore } from './parts.js';
import type { Tables } from './schema.js';
import { settingsStore } from './settings.js';
import { shelfStore } from './shelf.js';
import type { Store } from './store.js';

/**
 * Opens (and where needed brings up to date) the database at `path`; `:memory:` for tests.
 * Write-ahead log with full synchronisation: a write that resolved survives a killed process and a cut of power.
 * `now` gives the time in milliseconds and is passed in so that tests own the clock.
 */
export async function openStore(path: string, now: () => number = Date.now): Promise<Store> {
  const database = new Database(path);
  database.pragma('journal_mode = WAL');
  database.pragma('synchronous = FULL');
  database.pragma('foreign_keys = ON');
  database.pragma('busy_timeout = 4000');
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) });
  const { error } = await new Migrator({ db, provider: migrations }).migrateToLatest();
  if (error) {
    await db.destroy();
    throw error;
  }
  return {
    parts: partStore(db, now),
    jobs: jobStore(db, now),
    forecasts: forecastStore(db, now),
    shelf: shelfStore(db, now),
    settings: settingsStore(db),
    close: () => db.destroy(),
  };
}
