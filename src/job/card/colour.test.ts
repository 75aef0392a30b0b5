import { describe, expect, it } from 'vitest';
import { hex, type Rgb, ramp } from './colour.js';

/** CIELAB of an sRGB colour (IEC 61966-2-1 curve and primaries, white D65; CIE 15:2004), written apart from the ramp. */
function lab(rgb: Rgb): [number, number, number] {
  const [r, g, b] = rgb.map((u) => (u <= 0.04045 ? u / 12.92 : ((u + 0.055) / 1.055) ** 2.4)) as [
    number,
    number,
    number,
  ];
  const f = (t: number) => (t > (6 / 29) ** 3 ? Math.cbrt(t) : t / (3 * (6 / 29) ** 2) + 4 / 29);
  const x = f((0.4124 * r + 0.3576 * g + 0.1805 * b) / 0.95047);
  const y = f(0.2126 * r + 0.7152 * g + 0.0722 * b);
  const z = f((0.0193 * r + 0.1192 * g + 0.9505 * b) / 1.08883);
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

describe('the colour scale', () => {
  const steps = Array.from({ length: 21 }, (_, i) => ramp(i / 20));
  it('darkens evenly from thin to thick, so that a grey print still reads (CIE lightness)', () => {
    const lightness = steps.map((c) => lab(c)[0]);
    const drops = lightness.slice(1).map((l, i) => lightness[i]! - l);
    const mean = drops.reduce((a, b) => a + b) / drops.length;
    expect(mean).toBeGreaterThan(3);
    for (const drop of drops) expect(Math.abs(drop / mean - 1)).toBeLessThan(0.35);
  });
  it('keeps neighbours apart by similar distances (CIE 1976 colour difference)', () => {
    const distances = steps
      .slice(1)
      .map((c, i) => Math.hypot(...lab(c).map((v, k) => v - lab(steps[i]!)[k]!)));
    expect(Math.max(...distances) / Math.min(...distances)).toBeLessThan(3);
  });
  it('stays inside what a screen shows and clips outside its range', () => {
    for (const c of steps) for (const u of c) expect(u >= 0 && u <= 1).toBe(true);
    expect(hex(ramp(-1))).toBe(hex(ramp(0)));
    expect(hex(ramp(2))).toBe(hex(ramp(1)));
  });
});
