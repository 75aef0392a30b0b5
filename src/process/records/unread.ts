import type { Library } from '../../library/index.js';
import { type Cite, citesIn, readCite } from './cite.js';
import { practiceFiles } from './practice.js';

export interface CitedEntry {
  /** File and entry under `library/`, e.g. `preparations/steps.yaml soak-alkali.temperature`. */
  where: string;
  cite: Cite;
}

/** Every statement of the practice files that names a source, with how far it may be trusted. */
export function practiceCites(library: Pick<Library, 'sources' | 'others'>): CitedEntry[] {
  return practiceFiles(library).flatMap(({ path, content }) => {
    const kind = (content as { document: string }).document;
    const tail = (full: string) => full.replace(new RegExp(`^${kind}\\.`), '').replace(/\.?cite$/, '');
    return citesIn(content).map((c) => ({
      where: `${path} ${tail(c.path)}`,
      cite: readCite(library.sources, c.cite),
    }));
  });
}

/** Those that nobody has checked against a page: from memory, by judgement, or common practice without a source. */
export const unreadCites = (library: Pick<Library, 'sources' | 'others'>): CitedEntry[] =>
  practiceCites(library).filter(({ cite }) => cite.kind !== 'printed' && cite.kind !== 'calculated');
