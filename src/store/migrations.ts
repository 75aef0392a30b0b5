import type { Kysely, Migration, MigrationProvider } from 'kysely';

/**
 * One entry per released change of the tables; entries are never edited once released. Written with the schema builder
 * only, so that another database needs another dialect and no other text.
 */
const first: Migration = {
  async up(db: Kysely<unknown>) {
    await db.schema
      .createTable('parts')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('unit', 'text', (c) => c.notNull())
      .addColumn('report', 'text', (c) => c.notNull())
      .addColumn('created', 'bigint', (c) => c.notNull())
      .addColumn('archived', 'bigint')
      .execute();
    await db.schema
      .createTable('part_files')
      .addColumn('part_id', 'text', (c) => c.primaryKey().references('parts.id').onDelete('cascade'))
      .addColumn('file_name', 'text', (c) => c.notNull())
      .addColumn('bytes', 'blob', (c) => c.notNull())
      .execute();
    await db.schema
      .createTable('jobs')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('version', 'integer', (c) => c.notNull())
      .addColumn('created', 'bigint', (c) => c.notNull())
      .addColumn('changed', 'bigint', (c) => c.notNull())
      .addColumn('archived', 'bigint')
      .execute();
    await db.schema
      .createTable('job_versions')
      .addColumn('version', 'integer', (c) => c.primaryKey().autoIncrement())
      .addColumn('job_id', 'text', (c) => c.notNull())
      .addColumn('parent', 'integer')
      .addColumn('document', 'text', (c) => c.notNull())
      .addColumn('saved', 'bigint', (c) => c.notNull())
      .execute();
    await db.schema
      .createIndex('job_versions_job')
      .on('job_versions')
      .columns(['job_id', 'parent'])
      .execute();
    await db.schema
      .createTable('forecasts')
      .addColumn('job_version', 'integer', (c) => c.primaryKey())
      .addColumn('job_id', 'text', (c) => c.notNull())
      .addColumn('quality', 'text', (c) => c.notNull())
      .addColumn('result', 'text', (c) => c.notNull())
      .addColumn('made', 'bigint', (c) => c.notNull())
      .execute();
    await db.schema
      .createTable('shelf')
      .addColumn('id', 'text', (c) => c.primaryKey())
      .addColumn('kind', 'text', (c) => c.notNull())
      .addColumn('name', 'text', (c) => c.notNull())
      .addColumn('document', 'text', (c) => c.notNull())
      .addColumn('created', 'bigint', (c) => c.notNull())
      .addColumn('archived', 'bigint')
      .execute();
    await db.schema
      .createTable('settings')
      .addColumn('key', 'text', (c) => c.primaryKey())
      .addColumn('value', 'text', (c) => c.notNull())
      .execute();
  },
};

const ALL: Record<string, Migration> = { '0001-first-tables': first };

export const migrations: MigrationProvider = {
  async getMigrations() {
    return ALL;
  },
};
