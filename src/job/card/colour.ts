/**
 * The colour scale of thickness: even steps in lightness from pale straw (thin) to deep indigo (thick), hue turning
 * slowly, made by formula in the OKLab space so that equal steps of thickness look equal, also printed in grey.
 * OKLab and its matrices: B. Ottosson, "A perceptual color space for image processing" (2020); sRGB curve: IEC 61966-2-1.
 */
export type Rgb = readonly [number, number, number];

const THIN = { lightness: 0.95, hue: 105 };
const THICK = { lightness: 0.27, hue: 290 };
/** Chroma swells in the middle, where sRGB has room for it, and fades at both ends. */
const chroma = (t: number): number => 0.055 + 0.08 * Math.sin(Math.PI * Math.min(1, t * 0.85 + 0.12)) ** 1.2;

/** Linear-light sRGB of an OKLab colour. */
function linear(lightness: number, a: number, b: number): Rgb {
  const l = (lightness + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (lightness - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const s = (lightness - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * s,
  ];
}

const encode = (u: number): number => (u <= 0.0031308 ? 12.92 * u : 1.055 * u ** (1 / 2.4) - 0.055);
const inside = (rgb: Rgb): boolean => rgb.every((u) => u >= -1e-4 && u <= 1.0001);

/** Colour at `t` in [0, 1] as sRGB in [0, 1]; `t` outside is clipped. Chroma gives way where sRGB cannot show it. */
export function ramp(t: number): Rgb {
  const u = Math.min(1, Math.max(0, t));
  const lightness = THIN.lightness + u * (THICK.lightness - THIN.lightness);
  const angle = ((THIN.hue + u * (THICK.hue - THIN.hue)) * Math.PI) / 180;
  let c = chroma(u);
  let rgb = linear(lightness, c * Math.cos(angle), c * Math.sin(angle));
  while (!inside(rgb) && c > 1e-3) {
    c *= 0.97;
    rgb = linear(lightness, c * Math.cos(angle), c * Math.sin(angle));
  }
  return rgb.map((v) => encode(Math.min(1, Math.max(0, v)))) as unknown as Rgb;
}

export const hex = (rgb: Rgb): string =>
  `#${rgb
    .map((u) =>
      Math.round(Math.min(1, Math.max(0, u)) * 255)
        .toString(16)
        .padStart(2, '0'),
    )
    .join('')}`;

/** A colour darkened (`light` < 1) for the shaded side of a body. */
export const shade = (rgb: Rgb, light: number): Rgb => rgb.map((u) => u * light) as unknown as Rgb;
