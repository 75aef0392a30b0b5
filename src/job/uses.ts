import { type BathState, CONDITIONS, type Library, provenance } from '../library/index.js';
import { parseQuantity } from '../units/index.js';
import type { Chemistry } from './chemistry.js';
import type { RecordUse } from './result.js';

/** Every record a forecast stands on, with its source, and a word where it was used outside its range. */
export function recordsUsed(
  chemistry: Chemistry,
  library: Library,
  more: readonly string[] = [],
): RecordUse[] {
  const ids = new Set([...chemistry.parameters.map((p) => p.record), ...more]);
  return [...ids].flatMap((id): RecordUse[] => {
    const found = provenance(library, id);
    if (!found) return OWN_RECORDS[id] ? [{ id, ...OWN_RECORDS[id] }] : [];
    const outside = outsideRange(found.record.range, chemistry.state);
    return [
      {
        id,
        title: `${found.record.of ?? found.record.quantity} (${found.record.printed})`,
        source: found.citation,
        kind: found.kind,
        ...(outside && { outsideRange: outside }),
      },
    ];
  });
}

/** What the person or the house says, as records of the same shape. */
const OWN_RECORDS: Record<string, Omit<RecordUse, 'id'>> = {
  'job.area': {
    title: 'how far the drawn area may be off',
    source: 'the job file, or the house rule of 5 %',
    kind: 'assumed',
  },
  'job.supply': {
    title: 'accuracy of the ammeter',
    source: 'the job file, or the house rule of 2 %',
    kind: 'assumed',
  },
  'job.metal': { title: 'metal in the bath', source: 'the job file', kind: 'measured' },
  'job.conductivity': { title: 'conductivity of the bath', source: 'the job file', kind: 'measured' },
};

type Range = NonNullable<ReturnType<typeof provenance>>['record']['range'];

function outsideRange(range: Range, state: BathState): string | undefined {
  const now: Partial<Record<string, number>> = {
    temperature: state.temperature,
    pH: state.pH,
    chloride: state.chloride,
    concentration: state.metal,
  };
  for (const [condition, span] of Object.entries(range ?? {})) {
    const value = now[condition];
    if (value === undefined) continue;
    const [low, high] = span.map((text) => {
      const read = parseQuantity(text, CONDITIONS[condition as keyof typeof CONDITIONS]);
      return read.ok ? read.value : Number.NaN;
    });
    if (value < low! || value > high!) return `${condition} is outside ${span[0]} to ${span[1]}`;
  }
  return undefined;
}
