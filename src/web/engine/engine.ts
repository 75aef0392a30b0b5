import type { JobDocument } from '../../job/index.js';
import type { LibraryFile } from '../../library/index.js';
import { type Outcome, refused } from '../../units/index.js';
import type {
  Answer,
  ForecastAnswer,
  PartReport,
  PartSource,
  Preview,
  Quality,
  Request,
} from './messages.js';

export interface Progress {
  fraction: number;
  stage: string;
}

interface Waiting {
  resolve(outcome: Outcome<unknown>): void;
  progress?: ((progress: Progress) => void) | undefined;
}

type Body<T> = T extends unknown ? Omit<T, 'id'> : never;

/** How long a stopped computation may take to notice before its worker is ended [ms]. */
const PATIENCE = 1500;

const STOPPED = { code: 'cancelled', path: '', message: 'Stopped.' };

/** The page's handle on the worker. A worker that does not stop when asked is ended and started again. */
export class Engine {
  private worker = this.start();
  private next = 1;
  private readonly waiting = new Map<number, Waiting>();
  private library: LibraryFile[] = [];

  async takeLibrary(files: LibraryFile[]): Promise<void> {
    this.library = files;
    await this.ask({ ask: 'library', files });
  }

  read(part: PartSource, progress?: (p: Progress) => void): Promise<Outcome<PartReport>> {
    return this.ask({ ask: 'read', part }, progress) as Promise<Outcome<PartReport>>;
  }

  preview(job: JobDocument, parts: PartSource[]): Promise<Outcome<Preview>> {
    return this.ask({ ask: 'preview', job, parts }) as Promise<Outcome<Preview>>;
  }

  /** Runs a forecast; `stop` of the returned handle ends it within a moment. */
  forecast(job: JobDocument, parts: PartSource[], quality: Quality, progress: (p: Progress) => void) {
    const shared = globalThis.crossOriginIsolated ? new SharedArrayBuffer(1) : undefined;
    const id = this.next;
    const outcome = this.ask(
      { ask: 'forecast', job, parts, quality, ...(shared ? { stop: shared } : {}) },
      progress,
    ) as Promise<Outcome<ForecastAnswer>>;
    const stop = () => {
      if (shared) Atomics.store(new Uint8Array(shared), 0, 1);
      setTimeout(() => this.waiting.has(id) && this.restart(), shared ? PATIENCE : 0);
    };
    return { outcome, stop };
  }

  private ask(body: Body<Request>, progress?: (p: Progress) => void): Promise<Outcome<unknown>> {
    const id = this.next++;
    return new Promise((resolve) => {
      this.waiting.set(id, { resolve, progress });
      this.worker.postMessage({ ...body, id } as Request);
    });
  }

  private start(): Worker {
    const worker = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => this.hear(data));
    worker.addEventListener('error', (event) => {
      this.settleAll({ code: 'bug', path: '', message: `This is a bug in platewright: ${event.message}` });
    });
    return worker;
  }

  private hear(answer: Answer): void {
    const waiting = this.waiting.get(answer.id);
    if (!waiting) return;
    if (answer.say === 'progress') {
      waiting.progress?.({ fraction: answer.fraction, stage: answer.stage });
      return;
    }
    this.waiting.delete(answer.id);
    if (answer.say === 'done') waiting.resolve({ ok: true, value: answer.value, warnings: answer.warnings });
    else if (answer.say === 'refused') waiting.resolve(refused(...answer.problems));
    else {
      console.error(answer.message);
      const [line] = answer.message.split('\n');
      waiting.resolve(
        refused({
          code: 'bug',
          path: '',
          message: `This is a bug in platewright, not in your input: ${line}`,
        }),
      );
    }
  }

  private settleAll(problem: typeof STOPPED): void {
    const all = [...this.waiting.values()];
    this.waiting.clear();
    for (const { resolve } of all) resolve(refused(problem));
  }

  private restart(): void {
    this.worker.terminate();
    this.settleAll(STOPPED);
    this.worker = this.start();
    void this.takeLibrary(this.library);
  }
}
