import { type Drawing, INK, type Item } from './drawing.js';

/** Text safe inside markup and attributes. */
export const escaped = (text: string): string =>
  text.replace(
    /[&<>"']/g,
    (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' })[c]!,
  );

/** Two decimals of a millimetre, written as short as SVG allows. */
const n = (value: number): string => String(Math.round(value * 100) / 100).replace(/^(-?)0\./, '$1.');

/** Twice the signed area of a ring. */
const turning = (p: number[]): number => {
  let sum = 0;
  for (let i = 0, j = p.length - 2; i < p.length; j = i, i += 2) sum += p[j]! * p[i + 1]! - p[i]! * p[j + 1]!;
  return sum;
};

/** Rings that share a path turn the same way round, or overlapping ones would cut holes into each other. */
const ring = (points: number[]): string => {
  if (turning(points) >= 0) return path(points, true);
  const back: number[] = [];
  for (let i = points.length - 2; i >= 0; i -= 2) back.push(points[i]!, points[i + 1]!);
  return path(back, true);
};

/** Steps in hundredths of a millimetre from point to point: half the text of absolute positions. */
const path = (points: number[], closed: boolean): string => {
  const at = (i: number) => Math.round(points[i]! * 100);
  let text = `M${n(points[0]!)} ${n(points[1]!)}`;
  for (let i = 2; i < points.length; i += 2) {
    const [dx, dy] = [n((at(i) - at(i - 2)) / 100), n((at(i + 1) - at(i - 1)) / 100)];
    text += `${i === 2 ? 'l' : dx.startsWith('-') ? '' : ' '}${dx}${dy.startsWith('-') ? '' : ' '}${dy}`;
  }
  return text + (closed ? 'z' : '');
};

/** What makes two neighbours in the list one SVG element. */
const style = (item: Item, id: string): string | undefined => {
  if (item.kind === 'text') return undefined;
  if (item.kind === 'line')
    return `fill="none" stroke="${item.stroke}" stroke-width="${n(item.width)}" stroke-linecap="round"${
      item.dash ? ` stroke-dasharray="${n(item.dash)}"` : ''
    }`;
  const fill = typeof item.fill === 'string' ? item.fill : `url(#${id}-${item.fill.pattern})`;
  const seam = item.seam ? ` stroke="${fill}"` : '';
  return `fill="${fill}"${seam}${item.opacity === undefined ? '' : ` opacity="${n(item.opacity)}"`}`;
};

const typed = (item: Item & { kind: 'text' }): string =>
  `<text x="${n(item.x)}" y="${n(item.y)}" font-size="${n(item.size)}" text-anchor="${item.anchor}" stroke="none" fill="${
    item.colour ?? INK
  }"${item.bold ? ' font-weight="700"' : ''}>${escaped(item.text)}</text>`;

/** Patterns that read without colour: crossed strokes where it burns, dots where it stays bare. */
const patterns = (id: string): string =>
  `<defs><pattern id="${id}-burnt" width="2" height="2" patternUnits="userSpaceOnUse">` +
  '<path d="M-.5 .5L.5 -.5M0 2L2 0M1.5 2.5L2.5 1.5M0 0L2 2" stroke="#ffffff" stroke-width="0.75" fill="none"/>' +
  '<path d="M-.5 .5L.5 -.5M0 2L2 0M1.5 2.5L2.5 1.5M0 0L2 2" stroke="#1d2523" stroke-width="0.4" fill="none"/></pattern>' +
  `<pattern id="${id}-bare" width="1.6" height="1.6" patternUnits="userSpaceOnUse">` +
  '<circle cx="0.8" cy="0.8" r="0.38" fill="#1d2523"/></pattern></defs>';

/** A drawing as one SVG element, `id` unique on its page. Attributes only: no style, so that it passes any policy. */
export function toSvg(drawing: Drawing, id: string): string {
  const out: string[] = [];
  let open: { style: string; d: string[] } | undefined;
  const flush = () => {
    if (open) out.push(`<path d="${open.d.join('')}" ${open.style}/>`);
    open = undefined;
  };
  for (const item of drawing.items) {
    const s = style(item, id);
    if (item.kind === 'text') {
      flush();
      out.push(typed(item));
      continue;
    }
    if (open?.style !== s) flush();
    open ??= { style: s!, d: [] };
    open.d.push(item.kind === 'area' ? ring(item.points) : path(item.points, item.closed === true));
  }
  flush();
  const usesPattern = drawing.items.some((i) => i.kind === 'area' && typeof i.fill !== 'string');
  return (
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${n(drawing.width)} ${n(drawing.height)}" ` +
    `width="${n(drawing.width)}mm" height="${n(drawing.height)}mm" role="img" aria-label="${escaped(drawing.title)}" ` +
    `stroke-width=".12" stroke-linejoin="round" font-family="'Atkinson Hyperlegible', 'Liberation Sans', Arial, sans-serif">` +
    `${usesPattern ? patterns(id) : ''}${out.join('')}</svg>`
  );
}
