import type { LibraryFile } from '../../library/index.js';
import type { Problem } from '../../units/index.js';
import type { PartReport } from '../engine/index.js';

/** The bench book behind the local server. Every write that resolves is on the disk. */
export type JobData = Record<string, unknown>;

export interface JobSummary {
  id: string;
  name: string;
  version: number;
  created: number;
  changed: number;
}

export interface Job extends JobSummary {
  document: JobData;
  canUndo: boolean;
  canRedo: boolean;
}

export interface Part {
  id: string;
  name: string;
  fileName: string;
  unit: string;
  report: PartReport | null;
  created: number;
}

export interface ShelfItem {
  id: string;
  kind: string;
  name: string;
  document: Record<string, unknown>;
}

export class BookError extends Error {
  constructor(
    readonly status: number,
    readonly problems: Problem[],
  ) {
    super(problems[0]?.message ?? `The server answered ${status}.`);
  }
}

async function call<T>(method: string, path: string, body?: unknown): Promise<T> {
  const binary = body instanceof ArrayBuffer;
  const type = binary ? 'application/octet-stream' : 'application/json';
  const response = await fetch(path, {
    method,
    ...(body === undefined
      ? {}
      : { body: binary ? body : JSON.stringify(body), headers: { 'content-type': type } }),
  }).catch(() => {
    throw new BookError(0, [
      {
        code: 'server-gone',
        path: '',
        message: 'The platewright server does not answer.',
        hint: 'Is it still running? What you saw saved is safe; start it again and reload.',
      },
    ]);
  });
  if (response.status === 204) return undefined as T;
  const answer = await response.json();
  if (!response.ok && response.status !== 409) throw new BookError(response.status, answer.problems ?? []);
  return answer as T;
}

export const book = {
  library: () => call<LibraryFile[]>('GET', 'api/library'),
  settings: () => call<Record<string, unknown>>('GET', 'api/settings'),
  setSetting: (key: string, value: string | boolean) => call<void>('PUT', `api/settings/${key}`, { value }),
  shelf: () => call<ShelfItem[]>('GET', 'api/shelf'),
  jobs: () => call<JobSummary[]>('GET', 'api/jobs'),
  job: (id: string) => call<Job>('GET', `api/jobs/${id}`),
  createJob: (document: JobData) => call<Job>('POST', 'api/jobs', { document }),
  /** The job as it now stands: the one sent, or, if another page came between, the other one. */
  saveJob: (id: string, base: number, document: JobData) =>
    call<Job>('PUT', `api/jobs/${id}`, { base, document }),
  undo: (id: string) => call<Job>('POST', `api/jobs/${id}/undo`),
  redo: (id: string) => call<Job>('POST', `api/jobs/${id}/redo`),
  archiveJob: (id: string) => call<void>('DELETE', `api/jobs/${id}`),
  saveForecast: (id: string, version: number, quality: string, result: unknown) =>
    call<void>('PUT', `api/jobs/${id}/forecasts/${version}`, { quality, result }),
  parts: () => call<Part[]>('GET', 'api/parts'),
  addPart: (name: string, fileName: string, unit: string, bytes: ArrayBuffer) =>
    call<Part>('POST', `api/parts?${new URLSearchParams({ name, fileName, unit })}`, bytes),
  changePart: (id: string, change: { unit?: string; report?: unknown }) =>
    call<Part>('PATCH', `api/parts/${id}`, change),
  async partBytes(id: string): Promise<ArrayBuffer> {
    const response = await fetch(`api/parts/${id}/file`);
    if (!response.ok) throw new BookError(response.status, []);
    return response.arrayBuffer();
  },
  async cardPdf(card: unknown): Promise<Blob> {
    const response = await fetch('api/card.pdf', {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(card),
    });
    if (!response.ok) throw new BookError(response.status, (await response.json()).problems ?? []);
    return response.blob();
  },
};
