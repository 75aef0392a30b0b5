import type { z } from 'zod';
import { done, type Outcome, type Problem, refused } from '../units/index.js';
import { checkChoices, checkRecord, type PlacedRecord, recordsIn, repeatedIds } from './check.js';
import {
  type AgitationLevel,
  type Bath,
  type Bench,
  type Conductor,
  type Couple,
  type Kinetics,
  type Metal,
  SCHEMAS,
  type Source,
  type Species,
} from './documents.js';
import { nearestNames } from './nearest.js';
import { type AnyRecord, type Choice, effectiveKind, type RecordKind } from './record.js';

/** A file of the library as a parsed document; reading and parsing it is the business of a door. */
export interface LibraryFile {
  path: string;
  content: unknown;
}

/** All records, checked and indexed. */
export interface Library {
  sources: ReadonlyMap<string, Source>;
  /** Standard atomic weights by symbol. */
  weights: ReadonlyMap<string, Choice>;
  metals: ReadonlyMap<string, Metal>;
  species: ReadonlyMap<string, Species>;
  couples: ReadonlyMap<string, Couple>;
  kinetics: ReadonlyMap<string, Kinetics>;
  agitation: ReadonlyMap<string, AgitationLevel>;
  baths: ReadonlyMap<string, Bath>;
  /** Wires, contacts and the double layer. */
  bench: Bench;
  conductors: ReadonlyMap<string, Conductor>;
  records: ReadonlyMap<string, PlacedRecord>;
  /** Documents of kinds this folder does not know, for those that do. */
  others: readonly LibraryFile[];
}

/** One record with what a reader needs to judge it. */
export interface Provenance {
  record: AnyRecord;
  source: Source;
  /** `Authors, Title, in (year), place`, with "from memory" where nobody has seen the page. */
  citation: string;
  kind: RecordKind;
  file: string;
}

type DocumentKind = keyof typeof SCHEMAS;
const kindOf = (content: unknown): string | undefined =>
  typeof content === 'object' && content !== null && 'document' in content
    ? String((content as { document: unknown }).document)
    : undefined;

/**
 * Checks every document and indexes it.
 *
 * @returns the library, or every problem found in it (a broken record would otherwise surface as a wrong forecast).
 */
export function loadLibrary(files: readonly LibraryFile[]): Outcome<Library> {
  const problems: Problem[] = [];
  const index = {
    sources: new Map<string, Source>(),
    weights: new Map<string, Choice>(),
    metals: new Map<string, Metal>(),
    species: new Map<string, Species>(),
    couples: new Map<string, Couple>(),
    kinetics: new Map<string, Kinetics>(),
    agitation: new Map<string, AgitationLevel>(),
    baths: new Map<string, Bath>(),
    conductors: new Map<string, Conductor>(),
  };
  let bench: Bench | undefined;
  const others: LibraryFile[] = [];
  const placed: PlacedRecord[] = [];

  function put<T>(map: Map<string, T>, key: string, entry: T, file: string) {
    if (map.has(key))
      problems.push({ code: 'name-twice', path: file, message: `"${key}" is described twice` });
    map.set(key, entry);
  }

  for (const { path, content } of files) {
    const kind = kindOf(content);
    if (!kind || !Object.hasOwn(SCHEMAS, kind)) {
      others.push({ path, content });
      continue;
    }
    const read = SCHEMAS[kind as DocumentKind].safeParse(content);
    if (!read.success) {
      problems.push(...shapeProblems(read.error, path));
      continue;
    }
    placed.push(...recordsIn(read.data, path));
    problems.push(...checkChoices(read.data, path));
    const document = read.data;
    if (document.document === 'sources')
      for (const [key, source] of Object.entries(document.sources)) put(index.sources, key, source, path);
    else if (document.document === 'elements')
      for (const [key, weight] of Object.entries(document.weights)) put(index.weights, key, weight, path);
    else if (document.document === 'metal') put(index.metals, document.id, document, path);
    else if (document.document === 'species')
      for (const species of document.species) put(index.species, species.id, species, path);
    else if (document.document === 'potentials')
      for (const couple of document.couples) put(index.couples, couple.id, couple, path);
    else if (document.document === 'kinetics') put(index.kinetics, document.id, document, path);
    else if (document.document === 'agitation')
      for (const level of document.levels) put(index.agitation, level.id, level, path);
    else if (document.document === 'bench') {
      if (bench) problems.push({ code: 'name-twice', path, message: 'the bench is described twice' });
      bench = document;
      for (const conductor of document.conductors) put(index.conductors, conductor.id, conductor, path);
    } else put(index.baths, document.id, document, path);
  }

  problems.push(...repeatedIds(placed));
  for (const record of placed) problems.push(...checkRecord(record, index.sources));
  problems.push(...links(index));
  if (!bench)
    problems.push({ code: 'document-missing', path: '', message: 'the library has no document "bench"' });
  if (problems.length > 0 || !bench) return refused(...problems);
  return done({ ...index, bench, others, records: new Map(placed.map((p) => [p.record.id, p])) });
}

function shapeProblems(error: z.ZodError, file: string): Problem[] {
  return error.issues.map((issue) => ({
    code: 'record-shape',
    path: `${file}:${issue.path.join('.')}`,
    message: issue.message,
  }));
}

/** What the laws and the forecast read of a bath that is not refused. */
const NEEDED = [
  'composition',
  'temperature',
  'pH',
  'currentDensity',
  'agitation',
  'conductivity',
  'conductivityPerKelvin',
  'density',
  'viscosity',
  'diffusivity',
  'densification',
  'migration',
  'activityCoefficient',
  'deposition',
  'hydrogen',
  'burning',
  'covering',
  'anodes',
] as const satisfies readonly (keyof Bath)[];

/** A bath is either refused, and then holds no recipe, or complete. */
function incomplete(bath: Bath): Problem[] {
  const given = NEEDED.filter((field) => bath[field] !== undefined);
  const needed = bath.calibrated ? [...NEEDED, 'efficiency' as const] : NEEDED;
  const missing = needed.filter((field) => bath[field] === undefined);
  if (bath.refused)
    return given.length
      ? [
          {
            code: 'refused-bath-with-recipe',
            path: bath.id,
            message: `it is refused and yet gives ${given.join(', ')}`,
          },
        ]
      : [];
  return missing.length
    ? [{ code: 'bath-incomplete', path: bath.id, message: `it lacks ${missing.join(', ')}` }]
    : [];
}

/** Names one document uses for another must exist. */
function links(index: Pick<Library, 'metals' | 'couples' | 'kinetics' | 'agitation' | 'baths'>): Problem[] {
  const problems: Problem[] = [];
  const need = (map: ReadonlyMap<string, unknown>, name: string | undefined, from: string) => {
    if (name !== undefined && !map.has(name))
      problems.push({
        code: 'name-unknown',
        path: from,
        message: `"${name}" is not in the library`,
        hint: `Nearest: ${nearestNames(name, map.keys()).join(', ')}.`,
      });
  };
  for (const k of index.kinetics.values()) if ('couple' in k) need(index.couples, k.couple, k.id);
  for (const bath of index.baths.values()) {
    problems.push(...incomplete(bath));
    need(index.metals, bath.metal, bath.id);
    need(index.kinetics, bath.deposition, bath.id);
    need(index.kinetics, bath.hydrogen, bath.id);
    need(index.agitation, bath.agitation, bath.id);
    for (const anode of bath.anodes ?? []) need(index.kinetics, anode.kinetics, bath.id);
  }
  return problems;
}

/** A record with its source; undefined when there is no such id. */
export function provenance(library: Library, id: string): Provenance | undefined {
  const placed = library.records.get(id);
  if (!placed) return undefined;
  const { record, file } = placed;
  const source = library.sources.get(record.source)!;
  const year = source.year === undefined ? '' : ` (${source.year})`;
  const parts = [source.authors, source.title, source.in && `${source.in}${year}`, record.place];
  const told = parts.filter(Boolean).join(', ') + (source.in ? '' : year);
  return {
    record,
    source,
    citation: record.memory ? `${told}; from memory` : told,
    kind: effectiveKind(record),
    file,
  };
}
