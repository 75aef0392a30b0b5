import { divide, FINENESS, limitGrowth, type Quality, type Wish } from '../panels/size.js';
import { type Skin, SkinMaker } from '../panels/skin.js';
import { even, weave } from '../panels/weave.js';
import type { Solid } from './solid.js';
import type { Vec3 } from './vector.js';

/** Edges of a sheet are blades, where current grows like the inverse root of the distance: graded four times finer. */
const BLADE = 1 / 4;

function edged(width: number, quality: Quality, both: boolean): number[] {
  const f = FINENESS[quality];
  const wishes: Wish[] = Array.from({ length: 129 }, (_, i) => ({
    s: (i / 128) * width,
    h: i === 128 || (both && i === 0) ? f.edge * BLADE * width : f.largest * width,
  }));
  limitGrowth(wishes, f.growth);
  return divide(wishes, 0, width);
}

/** Zero-thickness rectangle in the plane z = 0, centred; wetted on both faces. */
export function rectangularSheet(width: number, depth: number): Solid {
  const clamp = (x: number, half: number): number => Math.min(half, Math.max(-half, x));
  const closest = (p: Vec3): Vec3 => [clamp(p[0], width / 2), clamp(p[1], depth / 2), 0];
  const tolerance = 1e-9 * Math.max(width, depth);
  const grid = (xs: number[], ys: number[]): Skin => {
    const maker = new SkinMaker();
    weave(
      {
        point: (u, v) => [u - width / 2, v - depth / 2, 0],
        rows: ys,
        cuts: ys.map(() => xs),
        period: 0,
        face: () => 0,
      },
      maker,
    );
    return maker.finish(tolerance);
  };
  return {
    faces: [{ closest }],
    distance: (p) => Math.hypot(...p.map((x, k) => x - closest(p)[k]!)),
    panels: ({ quality }) => grid(edged(width, quality, true), edged(depth, quality, true)),
    tessellate: () => grid([0, width], [0, depth]),
    area: 2 * width * depth,
    volume: 0,
    tolerance,
    bounds: { min: [-width / 2, -depth / 2, 0], max: [width / 2, depth / 2, 0] },
    open: true,
  };
}

/** Zero-thickness disc in the plane z = 0, centred; wetted on both faces. */
export function roundSheet(radius: number): Solid {
  const closest = (p: Vec3): Vec3 => {
    const r = Math.hypot(p[0], p[1]);
    const s = r > radius ? radius / r : 1;
    return [p[0] * s, p[1] * s, 0];
  };
  const tolerance = 1e-9 * radius;
  const fan = (radii: number[], count: (r: number) => number): Skin => {
    const maker = new SkinMaker();
    // Rows run inward so that the upper face is the outside.
    const rows = radii.map((r) => radius - r).reverse();
    weave(
      {
        point: (u, v) => [(radius - v) * Math.cos(u), (radius - v) * Math.sin(u), 0],
        rows,
        cuts: rows.map((v) => (radius - v < tolerance ? [0] : even(count(radius - v)))),
        period: 2 * Math.PI,
        face: () => 0,
      },
      maker,
    );
    return maker.finish(tolerance);
  };
  return {
    faces: [{ closest }],
    distance: (p) => Math.hypot(...p.map((x, k) => x - closest(p)[k]!)),
    panels: ({ quality }) => {
      const most = 2 * Math.ceil(Math.PI / FINENESS[quality].around / 1.5);
      return fan(edged(radius, quality, false), (r) => (r < radius / 3 && most % 4 === 0 ? most / 2 : most));
    },
    tessellate: (within) => {
      const count = Math.max(8, Math.ceil(Math.PI / Math.acos(1 - Math.min(0.3, within / radius))));
      return fan([0, radius], () => count);
    },
    area: 2 * Math.PI * radius ** 2,
    volume: 0,
    tolerance,
    bounds: { min: [-radius, -radius, 0], max: [radius, radius, 0] },
    open: true,
  };
}
