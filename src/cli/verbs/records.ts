import {
  type AnyRecord,
  effectiveKind,
  type Library,
  parameterOf,
  provenance,
  unknownName,
} from '../../library/index.js';
import { practiceCites, unreadCites } from '../../process/index.js';
import { plain } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import type { Verb, VerbResult } from '../verb.js';

/** The numbers platewright stands on: one of them with its story, or a list. */
export const records: Verb = {
  name: 'records',
  summary: 'A record with its value, interval and source; or the list of records.',
  arguments: ['[id]'],
  options: [{ flags: '--unseen', description: 'only those nobody has checked against the page' }],
  run: async ([id], options) => (id ? one(id) : list(options.unseen === true)),
};

const library = (): Library => shippedLibrary();

function entry(id: string) {
  const found = provenance(library(), id)!;
  const { record, citation, kind, file } = found;
  const interval = 'value' in record ? parameterOf(record) : undefined;
  return {
    id,
    title: record.of ?? record.quantity,
    quantity: record.quantity,
    unit: record.unit,
    ...('value' in record ? { value: record.value } : {}),
    low: interval?.low ?? (record as { low: number }).low,
    high: interval?.high ?? (record as { high: number }).high,
    printed: record.printed,
    kind,
    source: citation,
    file: `library/${file}`,
    ...(record.at && { at: record.at }),
    ...(record.range && { range: record.range }),
    ...(record.note && { note: record.note }),
  };
}

function one(id: string): VerbResult {
  if (!library().records.has(id))
    return { status: 'refused', problems: [unknownName(id, [...library().records.keys()], 'record', 'id')] };
  const e = entry(id);
  const spread = e.value === undefined ? 'recommended' : 'nine chances in ten';
  const conditions = Object.entries(e.at ?? {}).map(([key, text]) => `${key} ${text}`);
  return {
    status: 'done',
    json: e,
    text: [
      `${e.title}: ${e.printed}`,
      `${spread}: ${plain(e.low, 4)} to ${plain(e.high, 4)} ${e.unit}`,
      ...(conditions.length ? [`at ${conditions.join(', ')}`] : []),
      ...(e.range ? [`good for ${spans(e.range)}`] : []),
      `${e.kind}; ${e.source}`,
      ...(e.note ? [e.note] : []),
      e.file,
    ].join('\n'),
  };
}

const spans = (range: NonNullable<AnyRecord['range']>): string =>
  Object.entries(range)
    .map(([key, [low, high]]) => `${key} ${low} to ${high}`)
    .join(', ');

/** Of a kind that rests on nobody having seen a page, or on our own estimate. */
const unseen = (record: AnyRecord): boolean => effectiveKind(record) === 'assumed';

function list(onlyUnseen: boolean): VerbResult {
  const ids = [...library().records]
    .filter(([, placed]) => !onlyUnseen || unseen(placed.record))
    .map(([id]) => id);
  const entries = ids.map(entry);
  const all = practiceCites(library());
  const practice = onlyUnseen ? unreadCites(library()) : all;
  return {
    status: 'done',
    json: {
      records: entries,
      practice: practice.map(({ where, cite }) => ({ where, source: cite.text, kind: cite.kind })),
    },
    text: [
      ...entries.map((e) => `${e.id}: ${e.printed} (${e.kind}; ${e.source})`),
      ...practice.map(({ where, cite }) => `${where} (${cite.kind}; ${cite.text})`),
      `${entries.length} of ${library().records.size} records, ${practice.length} of ${all.length} statements of practice`,
    ].join('\n'),
  };
}
