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

/**
 * Bands from zero that cover thickness up to `top` [m], round in a unit of `unit` metres. `top` is best the 99 %
 * quantile: the last band is open upwards, so that one sharp corner does not wash out the rest.
 */
export function bands(top: number, unit: number, count = 8): Scale {
  const step = roundStep(Math.max(top, 1e-9) / unit, count);
  const n = Math.max(2, Math.ceil(top / unit / step - 1e-9));
  const edges = Array.from({ length: n + 1 }, (_, i) => i * step * unit);
  return { edges, colours: Array.from({ length: n }, (_, i) => hex(ramp(n === 1 ? 0.5 : i / (n - 1)))) };
}

/** Number of the band a thickness falls in; the last band is open. */
export const bandOf = (scale: Scale, thickness: number): number => {
  const step = scale.edges[1]!;
  return Math.min(scale.colours.length - 1, Math.max(0, Math.floor(thickness / step + 1e-9)));
};
