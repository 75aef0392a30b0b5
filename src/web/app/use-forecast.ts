import { useCallback, useEffect, useRef, useState } from 'react';
import type { JobDocument } from '../../job/index.js';
import type { Problem } from '../../units/index.js';
import type { ForecastAnswer, PartSource, Preview, Progress, Quality } from '../engine/index.js';
import { book, type Job, type JobData } from './book.js';
import { useSession } from './session.js';

export interface ForecastState {
  preview: Preview | undefined;
  answer: (ForecastAnswer & { quality: Quality; document: JobData }) | undefined;
  /** What stands in the way: of the placing, or of the forecast. */
  problems: Problem[];
  running: (Progress & { quality: Quality }) | undefined;
  /** True when the answer belongs to the document as it is now. */
  fresh: boolean;
  run(quality: Quality): void;
  stop(): void;
}

/** How long the page waits after the last change before it drafts by itself [ms]. */
const SETTLE = 250;

/** Files a job document names, as the book has them: `parts/<id>/<file name>`. */
async function sourcesOf(document: JobData): Promise<PartSource[]> {
  const names = new Map<string, PartSource['unit'] | undefined>();
  const look = (value: unknown): void => {
    if (typeof value !== 'object' || value === null) return;
    const { file, unit } = value as { file?: unknown; unit?: PartSource['unit'] };
    if (typeof file === 'string') names.set(file, unit);
    for (const child of Object.values(value)) look(child);
  };
  look(document);
  return Promise.all(
    [...names].map(async ([name, unit]) => {
      const bytes = await bytesOf(name.split('/')[1] ?? name);
      return { name, bytes, ...(unit ? { unit } : {}) };
    }),
  );
}

/** The last answer of each job, so that going to its card and back computes nothing twice. */
const answers = new Map<string, NonNullable<ForecastState['answer']>>();
const same = (a: JobData, b: JobData): boolean => JSON.stringify(a) === JSON.stringify(b);

const cache = new Map<string, Promise<ArrayBuffer>>();
function bytesOf(id: string): Promise<ArrayBuffer> {
  let found = cache.get(id);
  if (!found) {
    found = book.partBytes(id);
    cache.set(id, found);
    found.catch(() => cache.delete(id));
  }
  return found;
}

/** Shows the set-up at once and drafts a forecast when the person pauses; a standard one on request. */
export function useForecast(job: Job | undefined, document: JobData | undefined): ForecastState {
  const { engine } = useSession();
  const [preview, setPreview] = useState<Preview>();
  const [answer, setAnswer] = useState<ForecastState['answer']>();
  const [problems, setProblems] = useState<Problem[]>([]);
  const [running, setRunning] = useState<ForecastState['running']>();
  const id = job?.id;
  const handle = useRef<{ stop(): void } | undefined>(undefined);
  const latest = useRef<{ job: Job | undefined; document: JobData | undefined }>({ job, document });
  latest.current = { job, document };

  const stop = useCallback(() => {
    handle.current?.stop();
    handle.current = undefined;
    setRunning(undefined);
  }, []);

  const run = useCallback(
    async (quality: Quality) => {
      const asked = latest.current.document;
      if (!asked) return;
      stop();
      setRunning({ quality, fraction: 0, stage: 'starting' });
      const own: { stop(): void } = { stop: () => {} };
      handle.current = own;
      const sources = await sourcesOf(asked).catch(() => []);
      if (handle.current !== own) return;
      let made: ForecastState['answer'];
      // A draft shows its numbers as soon as they are there and its bands when they follow.
      for (const bands of quality === 'draft' ? [false, true] : [true]) {
        const work = engine.forecast(asked as unknown as JobDocument, sources, quality, bands, (p) => {
          if (handle.current === own) setRunning({ quality, ...p });
        });
        own.stop = work.stop;
        const outcome = await work.outcome;
        if (handle.current !== own) return;
        if (!outcome.ok) {
          handle.current = undefined;
          setRunning(undefined);
          if (!outcome.problems.some((p) => p.code === 'cancelled')) setProblems(outcome.problems);
          return;
        }
        setProblems([]);
        made = { ...outcome.value, quality, document: asked };
        setAnswer(made);
      }
      handle.current = undefined;
      setRunning(undefined);
      if (!made) return;
      const { job: saved, document: now } = latest.current;
      if (saved) answers.set(saved.id, made);
      if (saved && now === asked && same(saved.document, asked))
        void book.saveForecast(saved.id, saved.version, quality, made.forecast).catch(() => {});
    },
    [engine, stop],
  );

  useEffect(() => {
    if (!document) return;
    let gone = false;
    stop();
    sourcesOf(document)
      .then((sources) => engine.preview(document as unknown as JobDocument, sources))
      .then((outcome) => {
        if (gone) return;
        if (outcome.ok) setPreview(outcome.value);
        setProblems(outcome.ok ? [] : outcome.problems);
      })
      .catch(() => {});
    const known = id === undefined ? undefined : answers.get(id);
    const usable = known && same(known.document, document);
    if (usable) setAnswer({ ...known, document });
    const timer = usable ? undefined : setTimeout(() => void run('draft'), SETTLE);
    return () => {
      gone = true;
      clearTimeout(timer);
    };
  }, [document, engine, id, run, stop]);
  useEffect(() => stop, [stop]);

  return {
    preview,
    answer,
    problems,
    running,
    fresh: answer !== undefined && answer.document === document,
    run: (quality) => void run(quality),
    stop,
  };
}
