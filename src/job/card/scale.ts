import { hex, ramp } from './colour.js';

/** Thickness bands of even, round width: what the legend shows and the map is coloured by. Edges in [m]. */
export interface Scale {
  edges: number[];
  /** One colour a band, thin to thick. */
  colours: string[];
}

/** Round step (1, 2, 2.5 or 5 times a power of ten) that cuts `span` into about `count` pieces. */
export function roundStep(span: number, count: number): number {
  const rough = span / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].find((s) => s * power >= rough * (1 - 1e-9))!;
  return step * power;
}

/** Below this share of the top, the thin end is near enough to nothing that the scale starts at zero. */
const FROM_ZERO = 0.4;

/**
 * Bands that cover thickness from `low` to `top` [m], round in a unit of `unit` metres; from zero unless all of the
 * deposit is of similar thickness. The ends are best the 1 % and 99 % quantiles: the outer bands are open, so that one
 * sharp corner does not wash out the rest.
 */
export function bands(low: number, top: number, unit: number, count = 8): Scale {
  const most = Math.max(top, 1e-9) / unit;
  const least = low / unit > FROM_ZERO * most ? low / unit : 0;
  const step = roundStep(Math.max(most - least, 1e-3 * most), count);
  const start = Math.floor(least / step + 1e-9);
  const n = Math.max(2, Math.ceil(most / step - 1e-9) - start);
  const edges = Array.from({ length: n + 1 }, (_, i) => (start + i) * step * unit);
  return { edges, colours: Array.from({ length: n }, (_, i) => hex(ramp(n === 1 ? 0.5 : i / (n - 1)))) };
}

/** Number of the band a thickness falls in; the last band is open. */
export const bandOf = (scale: Scale, thickness: number): number => {
  const [start, next] = scale.edges as [number, number];
  return Math.min(
    scale.colours.length - 1,
    Math.max(0, Math.floor((thickness - start) / (next - start) + 1e-9)),
  );
};
