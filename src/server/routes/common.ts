import { randomUUID } from 'node:crypto';
import type { Problem } from '../../units/index.js';
import type { AppOptions } from '../app.js';

export const newId = (options: AppOptions): string => (options.newId ?? randomUUID)();

export const nothing = (what: string): { problems: Problem[] } => ({
  problems: [{ code: 'not-found', path: '', message: `There is no such ${what} in the bench book.` }],
});
