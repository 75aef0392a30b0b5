import type { JobData } from '../../app/book.js';
import { at, type Path } from '../../model/paths.js';
import type { Note } from '../notes.js';

/** What every entry of a job is given: the document, the notes that concern it, and the ways to change it. */
export interface EntryProps {
  id: string;
  open: boolean;
  onOpen(open: boolean): void;
  document: JobData;
  notes: Note[];
  set(path: Path, value: unknown): void;
  edit(change: (document: JobData) => JobData): void;
}

export type Loose = Record<string, unknown>;

/** Text at a path of a document; undefined where there is none. */
export const textAt = (document: unknown, path: Path): string | undefined => {
  const value = at(document, path);
  return value === undefined ? undefined : String(value);
};
