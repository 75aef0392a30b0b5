import type { PartMap } from '../result.js';
import { hex, ramp, shade } from './colour.js';
import { type Drawing, FAINT, INK, type Item } from './drawing.js';
import { contour, type Facet, facets, isClosed, slice } from './facets.js';
import { bounds, fitted, project, type View } from './project.js';
import type { Scale } from './scale.js';
import { thinned } from './thin.js';

export interface Mark {
  /** Drawn in the circle, e.g. `A`. */
  letter: string;
  position: readonly [number, number, number];
}

export interface MapOptions {
  scale: Scale;
  /** Thickness asked for [m]; its contour is drawn. */
  required?: number;
  view: View;
  /** Page size [mm]. */
  width: number;
  height: number;
  title: string;
  marks?: Mark[];
  /** Most triangles drawn. */
  limit?: number;
}

/** The thickness map as a flat drawing: far facets first, so that near ones cover them. */
export function mapDrawing(map: PartMap, options: MapOptions): Drawing {
  const flag = (wanted: number) => Float32Array.from(map.flag ?? [], (f) => (f === wanted ? 1 : 0));
  const blank = new Float32Array(map.positions.length / 3);
  const [bare, burnt] = map.flag ? [flag(1), flag(2)] : [blank, blank];
  const mesh = thinned(
    { positions: map.positions, triangles: map.triangles, fields: [map.thickness, bare, burnt] },
    options.limit ?? 4000,
  );
  const projected = project(mesh.positions, options.view);
  const box = bounds(projected);
  const page = fitted(box, options.width, options.height, options.marks?.length ? 9 : 2);
  const longest = Math.hypot(box.maxX - box.minX, box.maxY - box.minY) / 12;
  const hideBacks = isClosed(mesh.triangles);
  const visible = facets(mesh, projected, longest).filter((f) => f.facing || !hideBacks);
  visible.sort((f, g) => f.depth - g.depth);
  const place = (xy: number[]) => xy.map((u, i) => (i % 2 === 0 ? page.x(u) : page.y(u)));
  const items: Item[] = [];
  for (const facet of visible) paint(facet, options, place, items);
  for (const mark of options.marks ?? []) items.push(...drawMark(mark, options, page, visible));
  return { width: options.width, height: options.height, title: options.title, items };
}

/** One facet: its thickness bands, the contour of the requirement, and the patterns of what failed. */
function paint(
  facet: Facet,
  { scale, required }: MapOptions,
  place: (xy: number[]) => number[],
  items: Item[],
) {
  const [thickness, bare, burnt] = facet.fields as [number[], number[], number[]];
  const last = scale.colours.length - 1;
  const light = 1 - Math.round((1 - facet.light) * 20) / 20;
  for (let band = 0; band <= last; band++) {
    const low = band === 0 ? -Infinity : scale.edges[band]!;
    const high = band === last ? Infinity : scale.edges[band + 1]!;
    const ring = slice(facet.xy, thickness, low, high);
    if (ring.length)
      items.push({
        kind: 'area',
        points: place(ring),
        fill: hex(shade(ramp(last === 0 ? 0.5 : band / last), light)),
        seam: true,
      });
  }
  if (required !== undefined) {
    const line = contour(facet.xy, thickness, required);
    if (line.length) items.push({ kind: 'line', points: place(line), stroke: INK, width: 0.45 });
  }
  const mean = (v: number[]) => (v[0]! + v[1]! + v[2]!) / 3;
  if (mean(burnt) > 0.5) items.push({ kind: 'area', points: place(facet.xy), fill: { pattern: 'burnt' } });
  else if (mean(bare) > 0.5) items.push({ kind: 'area', points: place(facet.xy), fill: { pattern: 'bare' } });
}

/** A lettered circle beside the map with a leader to the spot; the leader is dashed when the spot is on the far side. */
function drawMark(
  mark: Mark,
  options: MapOptions,
  page: ReturnType<typeof fitted>,
  visible: Facet[],
): Item[] {
  const p = project(mark.position, options.view);
  const [x, y] = [page.x(p[0]!), page.y(p[1]!)];
  const hidden = visible.some((f) => f.depth > p[2]! + 1e-4 * options.width && covers(f.xy, p[0]!, p[1]!));
  const side = x < options.width / 2 ? -1 : 1;
  const out = side < 0 ? 4 : options.width - 4;
  const cy = Math.min(options.height - 4, Math.max(4, y));
  return [
    {
      kind: 'line',
      points: [x, y, out - side * 2.6, cy],
      stroke: INK,
      width: 0.25,
      ...(hidden ? { dash: 0.9 } : {}),
    },
    { kind: 'line', points: circle(x, y, 0.7), stroke: INK, width: 0.35, closed: true },
    { kind: 'area', points: circle(out, cy, 2.6), fill: '#ffffff' },
    {
      kind: 'line',
      points: circle(out, cy, 2.6),
      stroke: hidden ? FAINT : INK,
      width: 0.3,
      closed: true,
    },
    { kind: 'text', x: out, y: cy + 1.15, text: mark.letter, size: 3.2, anchor: 'middle', bold: true },
  ];
}

export const circle = (x: number, y: number, radius: number): number[] =>
  Array.from({ length: 24 }, (_, i) => (i * Math.PI) / 12).flatMap((a) => [
    x + radius * Math.cos(a),
    y + radius * Math.sin(a),
  ]);

function covers(xy: number[], px: number, py: number): boolean {
  const side = (a: number, b: number) =>
    (xy[2 * b]! - xy[2 * a]!) * (py - xy[2 * a + 1]!) - (xy[2 * b + 1]! - xy[2 * a + 1]!) * (px - xy[2 * a]!);
  const [u, v, w] = [side(0, 1), side(1, 2), side(2, 0)];
  return (u > 0 && v > 0 && w > 0) || (u < 0 && v < 0 && w < 0);
}
