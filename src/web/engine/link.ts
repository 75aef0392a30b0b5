import { type Outcome, refused } from '../../units/index.js';
import type { Answer, Request } from './messages.js';

export interface Progress {
  fraction: number;
  stage: string;
}

interface Waiting {
  body: Body<Request>;
  resolve(outcome: Outcome<unknown>): void;
  progress?: ((progress: Progress) => void) | undefined;
}

export type Body<T> = T extends unknown ? Omit<T, 'id'> : never;

/** One worker, its questions and their answers; can be ended in the middle of its work and started again. */
export class WorkerLink {
  private worker = this.start();
  private next = 1;
  private readonly waiting = new Map<number, Waiting>();

  /** Number of the question asked next, to look for it later. */
  get upcoming(): number {
    return this.next;
  }

  isWaiting(id: number): boolean {
    return this.waiting.has(id);
  }

  ask(body: Body<Request>, progress?: (p: Progress) => void): Promise<Outcome<unknown>> {
    const id = this.next++;
    return new Promise((resolve) => {
      this.waiting.set(id, { body, resolve, progress });
      this.worker.postMessage({ ...body, id } as Request);
    });
  }

  /** Ends the worker in the middle of question `ended`; a new one is told `opening` and asked all that was still open. */
  restart(ended: number, opening: Body<Request>): void {
    this.worker.terminate();
    this.worker = this.start();
    this.worker.postMessage({ ...opening, id: this.next++ } as Request);
    const stopped = this.waiting.get(ended);
    this.waiting.delete(ended);
    stopped?.resolve(refused({ code: 'cancelled', path: '', message: 'Stopped.' }));
    for (const [id, { body }] of this.waiting) this.worker.postMessage({ ...body, id } as Request);
  }

  private start(): Worker {
    const worker = new Worker(new URL('./worker.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<Answer>) => this.hear(data));
    worker.addEventListener('error', (event) =>
      this.settleAll('bug', `This is a bug in platewright, not in your input: ${event.message}`),
    );
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
      const message = `This is a bug in platewright, not in your input: ${line}`;
      waiting.resolve(refused({ code: 'bug', path: '', message }));
    }
  }

  private settleAll(code: string, message: string): void {
    const all = [...this.waiting.values()];
    this.waiting.clear();
    for (const { resolve } of all) resolve(refused({ code, path: '', message }));
  }
}
