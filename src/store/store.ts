/**
 * What the doors see of the database: a handful of verbs on plain data. Whatever a method acknowledged by resolving is
 * on the disk. Documents are opaque here: reading them is the business of `job`.
 */
export interface Store {
  parts: PartStore;
  jobs: JobStore;
  forecasts: ForecastStore;
  shelf: ShelfStore;
  settings: SettingsStore;
  close(): Promise<void>;
}

export interface PartSummary {
  id: string;
  name: string;
  fileName: string;
  unit: string;
  report: unknown;
  created: number;
}

export interface PartStore {
  list(): Promise<PartSummary[]>;
  get(id: string): Promise<PartSummary | undefined>;
  /** The person's own file, byte for byte. */
  bytes(id: string): Promise<Uint8Array | undefined>;
  add(part: {
    id: string;
    name: string;
    fileName: string;
    unit: string;
    report: unknown;
    bytes: Uint8Array;
  }): Promise<PartSummary>;
  change(
    id: string,
    change: { name?: string; unit?: string; report?: unknown },
  ): Promise<PartSummary | undefined>;
  archive(id: string): Promise<boolean>;
}

export interface JobSummary {
  id: string;
  name: string;
  version: number;
  created: number;
  changed: number;
}

export interface StoredJob extends JobSummary {
  document: unknown;
  canUndo: boolean;
  canRedo: boolean;
}

/** `conflict` carries the job as it stands, so that the page can show what the other tab wrote. */
export type SaveOutcome =
  | { kind: 'saved'; job: StoredJob }
  | { kind: 'conflict'; job: StoredJob }
  | { kind: 'missing' };

export interface JobStore {
  list(): Promise<JobSummary[]>;
  get(id: string): Promise<StoredJob | undefined>;
  create(id: string, document: unknown): Promise<StoredJob>;
  /** Saves on top of `base`, the version the caller edited; refuses when another version is current. */
  save(id: string, base: number, document: unknown): Promise<SaveOutcome>;
  undo(id: string): Promise<StoredJob | undefined>;
  redo(id: string): Promise<StoredJob | undefined>;
  history(id: string): Promise<{ version: number; parent: number | null; saved: number }[]>;
  archive(id: string): Promise<boolean>;
}

export interface StoredForecast {
  jobVersion: number;
  quality: string;
  result: unknown;
  made: number;
}

export interface ForecastStore {
  /** The forecast of exactly this version of the job. */
  get(jobVersion: number): Promise<StoredForecast | undefined>;
  put(jobId: string, jobVersion: number, quality: string, result: unknown): Promise<void>;
}

export interface ShelfItem {
  id: string;
  kind: string;
  name: string;
  document: unknown;
  created: number;
}

export interface ShelfStore {
  list(kind?: string): Promise<ShelfItem[]>;
  add(item: { id: string; kind: string; name: string; document: unknown }): Promise<ShelfItem>;
  archive(id: string): Promise<boolean>;
}

export interface SettingsStore {
  all(): Promise<Record<string, unknown>>;
  set(key: string, value: unknown): Promise<void>;
}
