import {
  type ImportedPart,
  importPart,
  type Measures,
  measure as measureMesh,
  unitNamed,
} from '../../geometry/index.js';
import { massOf } from '../../process/index.js';
import { type Problem, printQuantity } from '../../units/index.js';
import { openPartFile, terminalWatch } from '../part-file.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

const UNITS = ['mm', 'cm', 'm', 'in'] as const;
const SECONDS = 120;

/** What a part file amounts to, and what had to be repaired to say so. */
export const measure: Verb = {
  name: 'measure',
  summary: 'Area, volume and size of a part file (STL, OBJ, PLY, GLB/glTF, 3MF), with a report of repairs.',
  arguments: ['<file>'],
  options: [
    { flags: '--unit <unit>', description: `unit the file was drawn in: ${UNITS.join(', ')}` },
    { flags: '--substrate <name>', description: 'also the mass of a solid part made of it, e.g. brass' },
  ],
  run: async ([path], options) => run(path!, options.unit, options.substrate),
};

async function run(
  path: string,
  wanted: string | boolean | undefined,
  substrate: string | boolean | undefined,
): Promise<VerbResult> {
  const named = typeof wanted === 'string' ? unitNamed(wanted) : undefined;
  const unit = UNITS.find((u) => u === named);
  if (wanted !== undefined && !unit) return { status: 'refused', problems: [unknownUnit(String(wanted))] };
  const file = await openPartFile(path);
  if (!file.ok) return { status: 'refused', problems: file.problems };
  const watch = terminalWatch(SECONDS);
  const part = await importPart(file.value, { ...(unit && { unit }), watch });
  if (!part.ok) return { status: 'refused', problems: watch.timedOut() ? [tooSlow()] : part.problems };
  const measures = measureMesh(part.value.mesh);
  const mass =
    typeof substrate === 'string' ? massOf(shippedPractice(), substrate, measures.volume) : undefined;
  if (mass && !mass.ok) return { status: 'refused', problems: mass.problems };
  for (const { message, hint } of part.warnings)
    process.stderr.write(`note: ${message}${hint ? `\n  try: ${hint}` : ''}\n`);
  return {
    status: 'done',
    json: { ...asJson(part.value, measures, part.warnings), ...(mass && { mass: mass.value }) },
    text: [asText(part.value, measures), ...(mass ? [massText(mass.value)] : [])].join('\n'),
  };
}

function asJson(part: ImportedPart, { area, volume, bounds }: Measures, warnings: Problem[]) {
  return {
    triangles: part.mesh.triangles.length / 3,
    area,
    volume,
    bounds,
    closed: part.closed,
    bodies: part.bodies,
    repairs: part.repairs,
    unit: part.unit.unit,
    unitReason: part.unit.reason,
    format: part.format,
    cavities: part.cavities,
    cavityArea: part.cavityArea,
    warnings,
  };
}

function asText(part: ImportedPart, { area, volume, bounds }: Measures): string {
  const side = (k: number): string => printQuantity(bounds.max[k]! - bounds.min[k]!, 'mm', 'length', 4);
  const rows: [string, string][] = [
    ['unit', `${part.unit.unit} - ${part.unit.reason}`],
    ['size', `${side(0)} x ${side(1)} x ${side(2)}`],
    ['area', printQuantity(area, 'cm2', 'area', 5)],
    [
      'volume',
      `${printQuantity(volume, 'cm3', 'volume', 5)}${part.closed ? '' : ' (a guess: the surface is open)'}`,
    ],
    ['surface', `${part.mesh.triangles.length / 3} triangles, ${part.closed ? 'closed' : 'open'}`],
    ['bodies', `${part.bodies}${part.cavities ? `, ${part.cavities} enclosed cavities` : ''}`],
    ['repairs', part.repairs.map(({ kind, count }) => `${kind} ${count}`).join(', ') || 'none needed'],
  ];
  return rows.map(([name, value]) => `${name.padEnd(9)}${value}`).join('\n');
}

const massText = ({ low, high }: { low: number; high: number }): string =>
  `${'mass'.padEnd(9)}${printQuantity(low, 'g', 'mass', 4)} to ${printQuantity(high, 'g', 'mass', 4)} if solid`;

const unknownUnit = (unit: string): Problem => ({
  code: 'unit-unknown',
  path: '--unit',
  message: `"${unit}" is not a unit of part files.`,
  hint: `Give one of ${UNITS.join(', ')}.`,
});

const tooSlow = (): Problem => ({
  code: 'reading-took-too-long',
  path: '',
  message: `The file could not be read and repaired within ${SECONDS} s.`,
  hint: 'Export the part with a coarser tolerance.',
});
