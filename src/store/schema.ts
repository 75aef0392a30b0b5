import type { ColumnType, Generated } from 'kysely';

/**
 * Tables of the bench book. Times are milliseconds since 1970; documents are JSON text, kept as written so that an old
 * save opens forever; bytes are the person's own files, never altered.
 */
export interface Tables {
  parts: PartsTable;
  part_files: PartFilesTable;
  jobs: JobsTable;
  job_versions: JobVersionsTable;
  forecasts: ForecastsTable;
  shelf: ShelfTable;
  settings: SettingsTable;
}

type Stamp = ColumnType<number, number, number>;

interface PartsTable {
  id: string;
  name: string;
  /** `mm`, `cm`, `m` or `in`: what one number of the file means. */
  unit: string;
  /** JSON of what the reader repaired and measured. */
  report: string;
  created: Stamp;
  archived: number | null;
}

/** The bytes apart from the row, so that lists of parts stay light. */
interface PartFilesTable {
  part_id: string;
  file_name: string;
  bytes: Uint8Array;
}

interface JobsTable {
  id: string;
  /** The version shown; a row of job_versions. */
  version: number;
  created: Stamp;
  changed: Stamp;
  archived: number | null;
}

/** Every document a job ever had. Undo moves `jobs.version` to the parent; nothing is deleted. */
interface JobVersionsTable {
  version: Generated<number>;
  job_id: string;
  parent: number | null;
  document: string;
  saved: Stamp;
}

interface ForecastsTable {
  job_version: number;
  job_id: string;
  quality: string;
  result: string;
  made: Stamp;
}

/** Things of the workshop other than parts: vessels, baths, anodes, supplies, hooks. */
interface ShelfTable {
  id: string;
  kind: string;
  name: string;
  document: string;
  created: Stamp;
  archived: number | null;
}

interface SettingsTable {
  key: string;
  value: string;
}
