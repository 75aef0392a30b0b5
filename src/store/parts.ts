import type { Kysely } from 'kysely';
import type { Tables } from './schema.js';
import type { PartStore, PartSummary } from './store.js';

export function partStore(db: Kysely<Tables>, now: () => number): PartStore {
  const summaries = () =>
    db
      .selectFrom('parts')
      .innerJoin('part_files', 'part_files.part_id', 'parts.id')
      .select(['parts.id', 'name', 'file_name as fileName', 'unit', 'report', 'created'])
      .where('archived', 'is', null);
  const plain = (row: Omit<PartSummary, 'report'> & { report: string }): PartSummary => ({
    ...row,
    report: JSON.parse(row.report),
  });
  const get = async (id: string) => {
    const row = await summaries().where('parts.id', '=', id).executeTakeFirst();
    return row && plain(row);
  };
  return {
    get,
    list: async () => (await summaries().orderBy('created', 'desc').orderBy('name').execute()).map(plain),
    async bytes(id) {
      const row = await db
        .selectFrom('part_files')
        .select('bytes')
        .where('part_id', '=', id)
        .executeTakeFirst();
      return row?.bytes;
    },
    async add({ id, name, fileName, unit, report, bytes }) {
      await db.transaction().execute(async (t) => {
        await t
          .insertInto('parts')
          .values({ id, name, unit, report: JSON.stringify(report), created: now(), archived: null })
          .execute();
        await t.insertInto('part_files').values({ part_id: id, file_name: fileName, bytes }).execute();
      });
      return (await get(id))!;
    },
    async change(id, { name, unit, report }) {
      await db
        .updateTable('parts')
        .set({
          ...(name === undefined ? {} : { name }),
          ...(unit === undefined ? {} : { unit }),
          ...(report === undefined ? {} : { report: JSON.stringify(report) }),
        })
        .where('id', '=', id)
        .execute();
      return get(id);
    },
    async archive(id) {
      const done = await db
        .updateTable('parts')
        .set({ archived: now() })
        .where('id', '=', id)
        .executeTakeFirst();
      return done.numUpdatedRows > 0n;
    },
  };
}
