import type { Library, Source } from '../../library/index.js';

/**
 * How far a practice record may be trusted: a printed page that was read, only an abstract, memory (counts as assumed),
 * common practice of the trade without a source, our own judgement, or a calculation from other records.
 */
export type CiteKind = 'printed' | 'abstract' | 'assumed' | 'common-practice' | 'judged' | 'calculated';

export interface Cite {
  key: string;
  place?: string;
  kind: CiteKind;
  /** As a reader sees it: title, place, and "from memory" where nobody has seen the page. */
  text: string;
}

const parts = (cite: string): [key: string, place: string | undefined] => {
  const at = cite.indexOf(' @ ');
  return at < 0 ? [cite.trim(), undefined] : [cite.slice(0, at).trim(), cite.slice(at + 3).trim()];
};

export const citeKey = (cite: string): string => parts(cite)[0];

/** Reads `key @ place` against the sources of the library. Throws on an unknown key: readPractice has checked them all. */
export function readCite(sources: ReadonlyMap<string, Source>, cite: string): Cite {
  const [key, place] = parts(cite);
  const source = sources.get(key);
  if (!source) throw new Error(`no source ${key}`);
  const kind = kindOf(key, place, source);
  const told = place ? `${source.title}, ${place}` : source.title;
  const text = kind === 'assumed' && !/memory/i.test(told) ? `${told} (from memory)` : told;
  return { key, ...(place !== undefined && { place }), kind, text };
}

function kindOf(key: string, place: string | undefined, source: Source): CiteKind {
  if (key === 'from-memory' || place?.includes('from memory')) return 'assumed';
  if (key === 'judgement') return 'judged';
  if (key === 'calculated') return 'calculated';
  if (source.kind === 'common-practice') return 'common-practice';
  if (source.note?.startsWith('from memory')) return 'assumed';
  if (source.note?.startsWith('scope')) return 'abstract';
  return 'printed';
}

/** Every text under a key named `cite`, however deep, with its path; entries of a list go by their id where they have one. */
export function citesIn(content: unknown, path = ''): { path: string; cite: string }[] {
  if (typeof content !== 'object' || content === null) return [];
  const own = (value: unknown) => (value as { id?: unknown } | null)?.id;
  return Object.entries(content).flatMap(([key, value]) => {
    const name = Array.isArray(content) && typeof own(value) === 'string' ? String(own(value)) : key;
    const here = path ? `${path}.${name}` : name;
    return key === 'cite' && typeof value === 'string' ? [{ path: here, cite: value }] : citesIn(value, here);
  });
}

export type Sources = Library['sources'];
