import { type Problem, parseQuantity, unitsOf } from '../units/index.js';
import type { Source } from './documents.js';
import { readPrinted, readPrintedWindow } from './interval.js';
import { type AnyRecord, CONDITIONS, type Condition, type ValueRecord } from './record.js';

/** A record with the file it stands in and where in that file. */
export interface PlacedRecord {
  record: AnyRecord;
  file: string;
  path: string;
}

/** Agreement asked of the printed text and the value: they differ only by rounding of the binary number. */
const SAME = 1e-9;
const agree = (a: number, b: number) => Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b), 1e-30);

/** Every object that has an id and a printed text, however deep it lies. */
export function recordsIn(content: unknown, file: string, path = ''): PlacedRecord[] {
  if (typeof content !== 'object' || content === null) return [];
  const own = 'id' in content && 'printed' in content ? [{ record: content as AnyRecord, file, path }] : [];
  const inner = Object.entries(content).flatMap(([key, value]) =>
    recordsIn(value, file, path ? `${path}.${key}` : key),
  );
  return [...own, ...inner];
}

/** What is wrong with one record that its shape does not show: unit, printed text, interval, source, conditions. */
export function checkRecord(placed: PlacedRecord, sources: ReadonlyMap<string, Source>): Problem[] {
  const { record, file, path } = placed;
  const quantity = record.quantity;
  const problems: Problem[] = [];
  const wrong = (code: string, message: string, hint?: string) =>
    problems.push({
      code,
      path: `${file}:${path}`,
      message: `${record.id}: ${message}`,
      ...(hint && { hint }),
    });

  if (!sources.has(record.source)) wrong('source-unknown', `there is no source "${record.source}"`);
  const [si] = unitsOf(quantity);
  if (record.unit !== si)
    wrong('unit-not-si', `unit is ${record.unit}, the value of a ${quantity} is in ${si}`);

  if ('value' in record) {
    const printed = readPrinted(record.printed, quantity);
    if (printed === undefined) wrong('printed-unreadable', `"${record.printed}" is not a ${quantity}`);
    else if (!agree(printed, record.value))
      wrong(
        'printed-differs',
        `printed "${record.printed}" is ${printed} ${si}, the value says ${record.value}`,
      );
    checkInterval(record, wrong);
  } else {
    const printed = readPrintedWindow(record.printed, quantity);
    if (!printed) wrong('printed-unreadable', `"${record.printed}" is not a span "low - high unit"`);
    else if (!agree(printed[0], record.low) || !agree(printed[1], record.high))
      wrong('printed-differs', `printed "${record.printed}" is ${printed.join(' to ')} ${si}`);
    const { low, high, typical = low } = record;
    if (!(low <= typical && typical <= high))
      wrong('window-order', `${low}, ${typical}, ${high} do not ascend`);
  }

  const conditions: [string, string][] = [
    ...Object.entries(record.at ?? {}),
    ...Object.entries(record.range ?? {}).flatMap(([key, ends]) =>
      ends.map((end): [string, string] => [key, end]),
    ),
  ];
  for (const [key, text] of conditions) {
    const read = parseQuantity(text, CONDITIONS[key as Condition]);
    if (!read.ok) wrong('condition-unreadable', `${key} "${text}": ${read.problems[0]!.message}`);
  }
  return problems;
}

function checkInterval(record: ValueRecord, wrong: (code: string, message: string) => void) {
  const { uncertainty, value } = record;
  if ('exact' in uncertainty && record.memory)
    wrong('exact-from-memory', 'a value from memory cannot be exact: give the digits it is sure of');
  if ('plusMinus' in uncertainty && readPrinted(uncertainty.plusMinus, record.quantity) === undefined)
    wrong('interval-unreadable', `step "${uncertainty.plusMinus}" is not a ${record.quantity}`);
  if ('factor' in uncertainty && value === 0) wrong('interval-empty', 'a factor about zero spans nothing');
}

/** Choices whose default is none of their records. */
export function checkChoices(content: unknown, file: string, path = ''): Problem[] {
  if (typeof content !== 'object' || content === null) return [];
  const { use, records } = content as { use?: unknown; records?: unknown };
  const own: Problem[] =
    typeof use === 'string' && Array.isArray(records) && !records.some((r) => r?.id === use)
      ? [
          {
            code: 'default-missing',
            path: `${file}:${path}`,
            message: `"${use}" is none of the records here`,
          },
        ]
      : [];
  return [
    ...own,
    ...Object.entries(content).flatMap(([key, value]) =>
      checkChoices(value, file, path ? `${path}.${key}` : key),
    ),
  ];
}

/** Ids that stand twice. */
export function repeatedIds(records: readonly PlacedRecord[]): Problem[] {
  const first = new Map<string, PlacedRecord>();
  const problems: Problem[] = [];
  for (const placed of records) {
    const before = first.get(placed.record.id);
    if (before)
      problems.push({
        code: 'record-twice',
        path: `${placed.file}:${placed.path}`,
        message: `${placed.record.id} also stands in ${before.file}:${before.path}`,
      });
    else first.set(placed.record.id, placed);
  }
  return problems;
}
