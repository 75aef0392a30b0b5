import { z } from 'zod';
import type { Library, LibraryFile } from '../../library/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { citeKey, citesIn, type Sources } from './cite.js';
import { depositShape, stepShape, substrateShape, surfaceShape } from './shapes.js';
import {
  abrasiveShape,
  adhesionShape,
  quenchShape,
  reliefShape,
  serviceShape,
  stripperShape,
  threadShape,
} from './shapes-finish.js';
import { gasLimitShape, substanceShape, wasteShape } from './shapes-hazard.js';
import { gateShape, type Identification, identificationShape } from './shapes-intake.js';
import { factShape, factValue, symptomShape } from './shapes-trouble.js';

/** Kinds of document this folder understands, with the shape of one entry. The plating steps stand in `entries`. */
const DOCUMENTS = {
  surfaces: surfaceShape,
  steps: stepShape,
  entries: stepShape,
  substrates: substrateShape,
  deposits: depositShape,
  identification: identificationShape,
  gate: gateShape,
  strippers: stripperShape,
  service: serviceShape,
  relief: reliefShape,
  threads: threadShape,
  adhesion: adhesionShape,
  quench: quenchShape,
  abrasives: abrasiveShape,
  limits: gasLimitShape,
  substances: substanceShape,
  waste: wasteShape,
  facts: factShape,
  symptoms: symptomShape,
} as const;
type DocumentKind = keyof typeof DOCUMENTS;
type Tables = { [K in DocumentKind]: ReadonlyMap<string, z.infer<(typeof DOCUMENTS)[K]>> };

/** Everything the library says about the passage of a part through the bench, each table by id. */
export interface Practice extends Omit<Tables, 'entries' | 'identification'> {
  sources: Sources;
  identification: Identification;
}

const kindOf = (content: unknown): DocumentKind | undefined => {
  const kind = (content as { document?: unknown } | null)?.document;
  return typeof kind === 'string' && Object.hasOwn(DOCUMENTS, kind) ? (kind as DocumentKind) : undefined;
};

/** The practice documents among those the library holds for others. */
export const practiceFiles = (library: Pick<Library, 'others'>): LibraryFile[] =>
  library.others.filter((file) => kindOf(file.content) !== undefined);

/**
 * Reads the practice documents among `library.others`.
 *
 * @returns the practice, or every defect found in its files.
 */
export function readPractice(library: Pick<Library, 'sources' | 'others'>): Outcome<Practice> {
  const problems: Problem[] = [];
  const found = Object.fromEntries(
    Object.keys(DOCUMENTS).map((kind) => [kind, new Map<string, unknown>()]),
  ) as Record<DocumentKind, Map<string, unknown>>;
  for (const file of practiceFiles(library)) {
    const kind = kindOf(file.content)!;
    for (const { path, cite } of citesIn(file.content, file.path))
      if (!library.sources.has(citeKey(cite)))
        problems.push({ code: 'source-unknown', path, message: `there is no source "${citeKey(cite)}"` });
    for (const entry of entriesOf(file, kind, problems)) {
      if (found[kind].has(entry.id))
        problems.push({ code: 'name-twice', path: file.path, message: `"${entry.id}" is described twice` });
      found[kind].set(entry.id, entry);
    }
  }
  const { entries, identification, ...tables } = found as unknown as Tables;
  const practice: Practice = {
    ...tables,
    steps: new Map([...tables.steps, ...entries]),
    sources: library.sources,
    identification: identification.get('bench')!,
  };
  problems.push(...links(practice));
  return problems.length > 0 ? refused(...problems) : done(practice);
}

function entriesOf(file: LibraryFile, kind: DocumentKind, problems: Problem[]): { id: string }[] {
  const shape = z.strictObject({ document: z.literal(kind), [kind]: z.array(DOCUMENTS[kind]) });
  const read = shape.safeParse(file.content);
  if (read.success) return (read.data as Record<string, unknown>)[kind] as { id: string }[];
  for (const issue of read.error.issues)
    problems.push({
      code: 'record-shape',
      path: `${file.path}:${issue.path.join('.')}`,
      message: issue.message,
    });
  return [];
}

/** Names one entry uses for another must exist. */
function links(practice: Practice): Problem[] {
  const { steps, surfaces, substrates, deposits, identification } = practice;
  const problems: Problem[] = [];
  const need = (map: ReadonlyMap<string, unknown>, names: Iterable<string | undefined>, from: string) => {
    for (const name of names)
      if (name !== undefined && !map.has(name))
        problems.push({ code: 'name-unknown', path: from, message: `"${name}" is not in the library` });
  };
  for (const s of steps.values()) need(surfaces, [s.leaves, ...(s.covers ?? []), ...(s.opens ?? [])], s.id);
  for (const s of substrates.values()) {
    need(surfaces, [s.surface, s.covered], s.id);
    need(steps, [...(s.route ?? []), ...(s.after ?? [])], s.id);
    need(steps, Object.entries(s.beforeSilver ?? {}).flat(), s.id);
    if (!s.refused && !(s.surface && s.route))
      problems.push({ code: 'record-shape', path: s.id, message: 'neither a route nor a refusal' });
  }
  for (const d of deposits.values())
    need(steps, [...(d.layers ?? []), ...Object.entries(d.replaces ?? {}).flat()], d.id);
  for (const m of identification?.metals ?? []) need(substrates, [m.substrate], m.id);
  for (const s of practice.strippers.values()) need(substrates, Object.keys(s.onBase ?? {}), s.id);
  for (const s of practice.service.values()) need(deposits, [s.deposit], s.id);
  for (const s of practice.symptoms.values())
    for (const sign of s.causes.flatMap((c) => c.signs)) {
      const fact = practice.facts.get(sign.fact);
      need(practice.facts, [sign.fact], s.id);
      if (fact && factValue(fact, sign.above ?? sign.below ?? sign.is!) === undefined)
        problems.push({
          code: 'record-shape',
          path: s.id,
          message: `"${sign.fact}" is not written as ${fact.of}`,
        });
    }
  return problems;
}
