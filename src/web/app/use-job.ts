import { useCallback, useEffect, useRef, useState } from 'react';
import type { Problem } from '../../units/index.js';
import { type Path, put } from '../model/paths.js';
import { BookError, book, type Job, type JobData } from './book.js';

export interface JobState {
  job: Job | undefined;
  /** What the person has in front of them; ahead of `job` while a save is on its way. */
  document: JobData | undefined;
  saving: boolean;
  /** Set when the book could not be reached or another page changed the job. */
  trouble: Problem | undefined;
  edit(change: (document: JobData) => JobData): void;
  set(path: Path, value: unknown): void;
  undo(): void;
  redo(): void;
}

/** A job with autosave: edits show at once, saves follow one after the other, each on top of the last version. */
export function useJob(id: string): JobState {
  const [job, setJob] = useState<Job>();
  const [document, setDocument] = useState<JobData>();
  const [saving, setSaving] = useState(false);
  const [trouble, setTrouble] = useState<Problem>();
  const current = useRef<{ job?: Job; document?: JobData }>({});
  const queue = useRef<Promise<void>>(Promise.resolve());
  const waiting = useRef(0);

  const take = useCallback((next: Job, show: boolean) => {
    current.current.job = next;
    setJob(next);
    if (!show) return;
    current.current.document = next.document;
    setDocument(next.document);
  }, []);

  useEffect(() => {
    current.current = {};
    book
      .job(id)
      .then((found) => take(found, true))
      .catch((error: BookError) => setTrouble(error.problems[0] ?? lost));
  }, [id, take]);

  const enqueue = useCallback((work: () => Promise<void>) => {
    waiting.current += 1;
    setSaving(true);
    queue.current = queue.current
      .then(work)
      .catch((error: unknown) => setTrouble((error instanceof BookError && error.problems[0]) || lost))
      .finally(() => {
        waiting.current -= 1;
        setSaving(waiting.current > 0);
      });
  }, []);

  const edit = useCallback(
    (change: (document: JobData) => JobData) => {
      const before = current.current.document;
      if (!before) return;
      const next = change(before);
      if (next === before) return;
      current.current.document = next;
      setDocument(next);
      enqueue(async () => {
        const saved = await book.saveJob(id, current.current.job!.version, next);
        const kept = JSON.stringify(saved.document) === JSON.stringify(next);
        setTrouble(kept ? undefined : otherPage);
        take(saved, !kept);
      });
    },
    [enqueue, id, take],
  );

  const step = (way: 'undo' | 'redo') => () =>
    enqueue(async () => {
      take(await book[way](id), true);
    });

  return {
    job,
    document,
    saving,
    trouble,
    edit,
    set: (path, value) => edit((d) => put(d, path, value)),
    undo: step('undo'),
    redo: step('redo'),
  };
}

const lost: Problem = {
  code: 'not-saved',
  path: '',
  message: 'The last change could not be saved.',
  hint: 'Is the server still running? Reload the page to see what is saved.',
};
const otherPage: Problem = {
  code: 'changed-elsewhere',
  path: '',
  message: 'Another page changed this job; what it saved is shown here.',
  hint: 'Make your last change again if it is still wanted; the history holds both.',
};
