import type { DrawnBody, PartMap } from '../result.js';
import { type Drawing, FAINT, INK, type Item } from './drawing.js';
import { outline } from './edges.js';
import { facets, isClosed } from './facets.js';
import { bounds, fitted, project, type View } from './project.js';
import { thinned, type ValueMesh } from './thin.js';

const FILL: Record<DrawnBody['role'] | 'part', string> = {
  part: '#cfd8d2',
  vessel: '#ffffff',
  hook: '#b9835a',
  anode: '#8f9aa0',
  shield: '#e3dcc8',
  robber: '#b3b9c6',
};

const mesh = (b: { positions: Float32Array; triangles: Uint32Array }, limit: number): ValueMesh =>
  thinned({ positions: b.positions, triangles: b.triangles, fields: [] }, limit);

/** A sketch of the set-up: glass as outlines, metal as shaded bodies with ink edges, names beside the anodes. */
export function setupDrawing(
  part: PartMap,
  bodies: DrawnBody[],
  options: { view: View; width: number; height: number; title: string },
): Drawing {
  const glass = bodies.filter((b) => b.role === 'vessel').map((b) => mesh(b, 4000));
  const solids = [
    { role: 'part' as const, name: 'part', mesh: mesh(part, 3000) },
    ...bodies
      .filter((b) => b.role !== 'vessel')
      .map((b) => ({ role: b.role, name: b.name, mesh: mesh(b, 800) })),
  ].map((s) => ({ ...s, points: project(s.mesh.positions, options.view) }));
  const glassPoints = glass.map((g) => project(g.positions, options.view));
  const box = bounds(...glassPoints, ...solids.map((s) => s.points));
  const page = fitted(box, options.width, options.height, 4);
  const place = (xy: ArrayLike<number>) => Array.from(xy, (u, i) => (i % 2 === 0 ? page.x(u) : page.y(u)));
  const items: Item[] = [];
  glass.forEach((g, i) => {
    const lines = outline(glassPoints[i]!, g.triangles, false);
    for (let k = 0; k < lines.length; k += 6)
      items.push({
        kind: 'line',
        points: place([lines[k]!, lines[k + 1]!, lines[k + 3]!, lines[k + 4]!]),
        stroke: FAINT,
        width: 0.3,
      });
  });
  const size = Math.hypot(box.maxX - box.minX, box.maxY - box.minY);
  const pieces = solids.flatMap((s) => [
    ...facets(s.mesh, s.points, size / 14, 2000).map((f) => ({
      depth: f.depth,
      item: { kind: 'area', points: place(f.xy), fill: dim(FILL[s.role], f.light), seam: true } as Item,
    })),
    ...inked(outline(s.points, s.mesh.triangles, isClosed(s.mesh.triangles)), size, s.points, place),
  ]);
  pieces.sort((p, q) => p.depth - q.depth);
  items.push(...pieces.map((p) => p.item));
  for (const { name, role, points } of solids)
    if (role === 'anode') items.push(label(name, bounds(points), page, options));
  return { width: options.width, height: options.height, title: options.title, items };
}

/** Ink lines cut into short pieces and lifted a little toward the eye, so that bodies in front cover them. */
function inked(
  lines: number[],
  size: number,
  body: Float64Array,
  place: (xy: number[]) => number[],
): { depth: number; item: Item }[] {
  const own = bounds(body);
  const thin = Math.min(own.maxX - own.minX, own.maxY - own.minY);
  const lift = Math.max(size / 36, Math.min(size / 24, thin / 8));
  const out: { depth: number; item: Item }[] = [];
  for (let k = 0; k < lines.length; k += 6) {
    const [x0, y0, z0, x1, y1, z1] = lines.slice(k, k + 6) as [
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    const cuts = Math.ceil((Math.hypot(x1 - x0, y1 - y0, z1 - z0) / size) * 20) || 1;
    for (let i = 0; i < cuts; i++) {
      const at = (t: number) => [x0 + t * (x1 - x0), y0 + t * (y1 - y0)];
      const points = place([...at(i / cuts), ...at((i + 1) / cuts)]);
      const depth = z0 + ((i + 0.5) / cuts) * (z1 - z0) + lift;
      out.push({ depth, item: { kind: 'line', points, stroke: INK, width: 0.25 } });
    }
  }
  return out;
}

function label(
  text: string,
  box: ReturnType<typeof bounds>,
  page: ReturnType<typeof fitted>,
  options: { width: number },
): Item {
  const x = page.x((box.minX + box.maxX) / 2);
  return {
    kind: 'text',
    x: Math.min(options.width - 8, Math.max(8, x)),
    y: page.y(box.minY) + 3.4,
    text,
    size: 2.8,
    anchor: 'middle',
  };
}

const dim = (colour: string, light: number): string =>
  `#${[1, 3, 5]
    .map((i) =>
      Math.round(Number.parseInt(colour.slice(i, i + 2), 16) * light)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;
