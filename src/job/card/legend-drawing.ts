import { fromSI } from '../../units/index.js';
import { type Drawing, INK, type Item } from './drawing.js';
import type { Scale } from './scale.js';
import { given, type UnitChoice } from './units.js';

/** The scale as a strip with its edges, the requirement marked, and the two patterns explained. Millimetres. */
export function legendDrawing(
  scale: Scale,
  units: UnitChoice,
  options: { width: number; required?: number; burnt: boolean; bare: boolean },
): Drawing {
  const { width, required } = options;
  const [left, right, top, tall] = [2, width - 2, 6, 5];
  const n = scale.colours.length;
  const shown = (edge: number) => String(Number(fromSI(edge, units.thickness, 'length').toPrecision(4)));
  const x = (edge: number) => left + ((right - left) * edge) / n;
  const items: Item[] = scale.colours.map((fill, i) => ({
    kind: 'area',
    points: [x(i), top, x(i + 1), top, x(i + 1), top + tall, x(i), top + tall],
    fill,
  }));
  items.push({
    kind: 'line',
    points: [left, top, right, top, right, top + tall, left, top + tall],
    stroke: INK,
    width: 0.2,
    closed: true,
  });
  scale.edges.forEach((edge, i) => {
    const open = i === n;
    items.push({
      kind: 'text',
      x: x(i),
      y: top + tall + 3.4,
      text: open ? 'more' : i === 0 && edge > 0 ? 'less' : shown(edge),
      size: 2.7,
      anchor: i === 0 ? 'start' : open ? 'end' : 'middle',
    });
  });
  if (required !== undefined) {
    const [start, next] = scale.edges as [number, number];
    const at = x(Math.min(n, Math.max(0, (required - start) / (next - start))));
    items.push(
      { kind: 'line', points: [at, top - 1.6, at, top + tall], stroke: INK, width: 0.5 },
      {
        kind: 'text',
        x: at,
        y: top - 2.2,
        text: `asked ${given(required, units.thickness, 'length')}`,
        size: 2.7,
        anchor: at < width * 0.25 ? 'start' : at > width * 0.75 ? 'end' : 'middle',
        bold: true,
      },
    );
  }
  let y = top + tall + 6;
  for (const [present, pattern, words] of [
    [options.burnt, 'burnt', 'burns'],
    [options.bare, 'bare', 'stays bare'],
  ] as const) {
    if (!present) continue;
    const box = [left, y, left + 7, y, left + 7, y + 3.4, left, y + 3.4];
    items.push(
      { kind: 'area', points: box, fill: { pattern } },
      { kind: 'line', points: box, stroke: INK, width: 0.2, closed: true },
      { kind: 'text', x: left + 9, y: y + 2.7, text: words, size: 2.7, anchor: 'start' },
    );
    y += 5;
  }
  return { width, height: y, title: 'Colour scale of thickness', items };
}
