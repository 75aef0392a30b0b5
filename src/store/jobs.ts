import type { Kysely, Transaction } from 'kysely';
import type { Tables } from './schema.js';
import type { JobStore, StoredJob } from './store.js';

type Database = Kysely<Tables> | Transaction<Tables>;

/** The name a job document gives itself; documents are otherwise opaque to the store. */
const nameOf = (document: unknown): string => {
  const name = (document as { name?: unknown } | null)?.name;
  return typeof name === 'string' && name.trim() !== '' ? name : 'Untitled job';
};

/** The newest version saved on top of another: what "redo" goes to. */
const newestChild = (db: Database, job: string, version: number) =>
  db
    .selectFrom('job_versions')
    .select('version')
    .where('job_id', '=', job)
    .where('parent', '=', version)
    .orderBy('version', 'desc')
    .limit(1)
    .executeTakeFirst();

async function read(db: Database, id: string): Promise<StoredJob | undefined> {
  const row = await db
    .selectFrom('jobs')
    .innerJoin('job_versions', 'job_versions.version', 'jobs.version')
    .select(['jobs.id', 'jobs.version', 'jobs.created', 'jobs.changed', 'document', 'parent'])
    .where('jobs.id', '=', id)
    .where('archived', 'is', null)
    .executeTakeFirst();
  if (!row) return undefined;
  const { parent, document: text, ...job } = row;
  const document: unknown = JSON.parse(text);
  return {
    ...job,
    name: nameOf(document),
    document,
    canUndo: parent !== null,
    canRedo: (await newestChild(db, id, job.version)) !== undefined,
  };
}

export function jobStore(db: Kysely<Tables>, now: () => number): JobStore {
  const append = async (t: Database, id: string, parent: number | null, document: unknown) => {
    const { version } = await t
      .insertInto('job_versions')
      .values({ job_id: id, parent, document: JSON.stringify(document), saved: now() })
      .returning('version')
      .executeTakeFirstOrThrow();
    return version;
  };
  const show = (t: Database, id: string, version: number) =>
    t.updateTable('jobs').set({ version, changed: now() }).where('id', '=', id).execute();
  /** Moves a job to a version found from the current one, in one transaction. */
  const move = (id: string, to: (t: Database, version: number) => Promise<number | null | undefined>) =>
    db.transaction().execute(async (t) => {
      const job = await read(t, id);
      if (!job) return undefined;
      const version = await to(t, job.version);
      if (version == null) return job;
      await show(t, id, version);
      return read(t, id);
    });

  return {
    get: (id) => read(db, id),
    async list() {
      const rows = await db
        .selectFrom('jobs')
        .innerJoin('job_versions', 'job_versions.version', 'jobs.version')
        .select(['jobs.id', 'jobs.version', 'created', 'changed', 'document'])
        .where('archived', 'is', null)
        .orderBy('changed', 'desc')
        .execute();
      return rows.map(({ document, ...row }) => ({ ...row, name: nameOf(JSON.parse(document)) }));
    },
    create: (id, document) =>
      db.transaction().execute(async (t) => {
        const version = await append(t, id, null, document);
        const created = now();
        await t
          .insertInto('jobs')
          .values({ id, version, created, changed: created, archived: null })
          .execute();
        return (await read(t, id))!;
      }),
    save: (id, base, document) =>
      db.transaction().execute(async (t) => {
        const job = await read(t, id);
        if (!job) return { kind: 'missing' };
        if (job.version !== base) return { kind: 'conflict', job };
        if (JSON.stringify(job.document) === JSON.stringify(document)) return { kind: 'saved', job };
        await show(t, id, await append(t, id, base, document));
        return { kind: 'saved', job: (await read(t, id))! };
      }),
    undo: (id) =>
      move(id, async (t, version) => {
        const row = await t
          .selectFrom('job_versions')
          .select('parent')
          .where('version', '=', version)
          .executeTakeFirst();
        return row?.parent;
      }),
    redo: (id) => move(id, async (t, version) => (await newestChild(t, id, version))?.version),
    history: (id) =>
      db
        .selectFrom('job_versions')
        .select(['version', 'parent', 'saved'])
        .where('job_id', '=', id)
        .orderBy('version')
        .execute(),
    async archive(id) {
      const done = await db
        .updateTable('jobs')
        .set({ archived: now() })
        .where('id', '=', id)
        .executeTakeFirst();
      return done.numUpdatedRows > 0n;
    },
  };
}
