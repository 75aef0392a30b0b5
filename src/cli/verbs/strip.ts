import { type StripWay, stripWays } from '../../process/index.js';
import { printQuantity } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** How an old layer comes off: ways, charge, time, when to stop, and what it does to the metal below. */
export const strip: Verb = {
  name: 'strip',
  summary: 'How an old layer comes off a base: ways, charge, time, stop signals, effect on the base.',
  arguments: [],
  options: [
    { flags: '--layer <metal>', description: 'nickel, chromium, zinc, copper, tin, silver, gold or cadmium' },
    { flags: '--base <name>', description: 'metal below, as in prepare --list' },
    { flags: '--thickness <length>', description: 'of the old layer where it is thickest, e.g. "10 um"' },
    { flags: '--area <area>', description: 'in the bath, e.g. "40 cm2"' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const layer = reader.required('layer');
  const base = reader.required('base');
  const thickness = reader.quantity('thickness', 'length', { required: true, positive: true });
  const area = reader.quantity('area', 'area', { required: true, positive: true });
  if (layer === undefined || base === undefined || thickness === undefined || area === undefined)
    return { status: 'refused', problems: reader.problems };
  const ways = reader.take(stripWays(shippedLibrary(), shippedPractice(), { layer, base, thickness, area }));
  if (!ways) return { status: 'refused', problems: reader.problems };
  return { status: 'done', json: { ways }, text: ways.map(say).join('\n') };
}

function say(w: StripWay): string {
  const lines = [
    `${w.allowed ? 'possible' : 'NOT HERE'}  ${w.id}${w.bath ? `: ${w.bath}` : ''}`,
    `    the base: ${w.onBase}`,
  ];
  if (w.allowed && w.charge && w.current)
    lines.push(
      `    ${printQuantity(w.current.min, 'A', 'current')} to ${printQuantity(w.current.max, 'A', 'current')}, part as anode; ` +
        `${printQuantity(w.charge.min, 'Ah', 'charge')} to ${printQuantity(w.charge.max, 'Ah', 'charge')}`,
    );
  if (w.allowed && w.time)
    lines.push(
      `    ${printQuantity(w.time.min, 'min', 'time')} to ${printQuantity(w.time.max, 'min', 'time')}`,
    );
  if (w.allowed && w.stopWhen.length > 0) lines.push(`    stop when ${w.stopWhen.join('; ')}`);
  if (w.allowed && w.makes) lines.push(`    leaves ${w.makes}`);
  if (w.allowed && w.caution) lines.push(`    ${w.caution}`);
  return lines.join('\n');
}
