import type { Kysely } from 'kysely';
import type { Tables } from './schema.js';
import type { ShelfStore } from './store.js';

export function shelfStore(db: Kysely<Tables>, now: () => number): ShelfStore {
  const rows = () =>
    db
      .selectFrom('shelf')
      .select(['id', 'kind', 'name', 'document', 'created'])
      .where('archived', 'is', null)
      .orderBy('kind')
      .orderBy('name');
  return {
    async list(kind) {
      const found = await (kind === undefined ? rows() : rows().where('kind', '=', kind)).execute();
      return found.map((row) => ({ ...row, document: JSON.parse(row.document) }));
    },
    async add({ id, kind, name, document }) {
      const created = now();
      await db
        .insertInto('shelf')
        .values({ id, kind, name, document: JSON.stringify(document), created, archived: null })
        .execute();
      return { id, kind, name, document, created };
    },
    async archive(id) {
      const done = await db
        .updateTable('shelf')
        .set({ archived: now() })
        .where('id', '=', id)
        .executeTakeFirst();
      return done.numUpdatedRows > 0n;
    },
  };
}
