import type { Card } from './content.js';
import type { Drawing } from './drawing.js';
import { toSvg } from './svg.js';

const GAP = 6;

/** One picture of a job for a page or a letter: the set-up, the map beside it, the scale below. SVG on white. */
export function pictureSvg(card: Card): string | undefined {
  const { setup, front, legend } = card.drawings;
  if (!setup || !front || !legend) return undefined;
  const width = setup.width + GAP + front.width;
  const top = Math.max(setup.height, front.height);
  const height = top + GAP / 2 + legend.height + 2;
  const placed = (drawing: Drawing, id: string, x: number, y: number) =>
    toSvg(drawing, id)
      .replace('<svg ', `<svg x="${x}" y="${y}" `)
      .replace(/="([\d.]+)mm"/g, '="$1"');
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width * 6}" height="${height * 6}">` +
    `<rect width="${width}" height="${height}" fill="#ffffff"/>` +
    placed(setup, 'picture-setup', 0, (top - setup.height) / 2) +
    placed(front, 'picture-map', setup.width + GAP, (top - front.height) / 2) +
    placed(legend, 'picture-legend', (width - legend.width) / 2, top + GAP / 2) +
    '</svg>'
  );
}
