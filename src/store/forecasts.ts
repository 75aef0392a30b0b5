import type { Kysely } from 'kysely';
import type { Tables } from './schema.js';
import type { ForecastStore } from './store.js';

export function forecastStore(db: Kysely<Tables>, now: () => number): ForecastStore {
  return {
    async get(jobVersion) {
      const row = await db
        .selectFrom('forecasts')
        .select(['job_version as jobVersion', 'quality', 'result', 'made'])
        .where('job_version', '=', jobVersion)
        .executeTakeFirst();
      return row && { ...row, result: JSON.parse(row.result) };
    },
    async put(jobId, jobVersion, quality, result) {
      const values = { quality, result: JSON.stringify(result), made: now() };
      await db
        .insertInto('forecasts')
        .values({ job_version: jobVersion, job_id: jobId, ...values })
        .onConflict((c) => c.column('job_version').doUpdateSet(values))
        .execute();
    },
  };
}
