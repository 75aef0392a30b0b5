import type { JobDocument } from '../../job/index.js';
import type { LibraryFile } from '../../library/index.js';
import type { Outcome } from '../../units/index.js';
import { type Progress, WorkerLink } from './link.js';
import type { ForecastAnswer, PartReport, PartSource, Preview, Quality } from './messages.js';

/** How long a stopped computation may take to notice before its worker is ended [ms]. */
const PATIENCE = 1500;

/**
 * The page's handle on its workers: one that reads files and shows set-ups, always quick to answer, and one that solves.
 * A solve that does not stop when asked is ended with its worker.
 */
export class Engine {
  private readonly reader = new WorkerLink();
  private readonly solver = new WorkerLink();
  private library: LibraryFile[] = [];

  async takeLibrary(files: LibraryFile[]): Promise<void> {
    this.library = files;
    await this.solver.ask({ ask: 'library', files });
  }

  read(part: PartSource, progress?: (p: Progress) => void): Promise<Outcome<PartReport>> {
    return this.reader.ask({ ask: 'read', part }, progress) as Promise<Outcome<PartReport>>;
  }

  preview(job: JobDocument, parts: PartSource[]): Promise<Outcome<Preview>> {
    return this.reader.ask({ ask: 'preview', job, parts }) as Promise<Outcome<Preview>>;
  }

  /** Runs a forecast; `stop` of the returned handle ends it within a moment. */
  forecast(
    job: JobDocument,
    parts: PartSource[],
    quality: Quality,
    bands: boolean,
    progress: (p: Progress) => void,
  ) {
    const shared = globalThis.crossOriginIsolated ? new SharedArrayBuffer(1) : undefined;
    const id = this.solver.upcoming;
    const outcome = this.solver.ask(
      { ask: 'forecast', job, parts, quality, bands, ...(shared ? { stop: shared } : {}) },
      progress,
    ) as Promise<Outcome<ForecastAnswer>>;
    const stop = () => {
      if (shared) Atomics.store(new Uint8Array(shared), 0, 1);
      setTimeout(
        () => this.solver.isWaiting(id) && this.solver.restart(id, { ask: 'library', files: this.library }),
        shared ? PATIENCE : 0,
      );
    };
    return { outcome, stop };
  }
}
