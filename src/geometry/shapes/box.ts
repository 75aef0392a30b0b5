import {
  divide,
  FINENESS,
  gapAt,
  limitGrowth,
  noFinerThan,
  type SizeRequest,
  SLIT,
  type Wish,
} from '../panels/size.js';
import { type Skin, SkinMaker } from '../panels/skin.js';
import { weave } from '../panels/weave.js';
import type { Face, Solid } from './solid.js';
import type { Vec3 } from './vector.js';

type Axis = 0 | 1 | 2;

/** A box centred on the origin; the cut positions of each axis are shared by its four faces, so the faces meet. */
export function box(lengths: Vec3): Solid {
  const half: Vec3 = [lengths[0] / 2, lengths[1] / 2, lengths[2] / 2];
  const clamp = (x: number, k: Axis): number => Math.min(half[k], Math.max(-half[k], x));
  const sides = ([0, 1, 2] as Axis[]).flatMap((axis) => [-1, 1].map((sign) => ({ axis, sign })));
  const faces: Face[] = sides.map(({ axis, sign }) => ({
    closest: (p) =>
      [0, 1, 2].map((k) => (k === axis ? sign * half[axis] : clamp(p[k]!, k as Axis))) as unknown as Vec3,
  }));
  const size = Math.max(...lengths);
  const tolerance = 1e-9 * size;
  return {
    faces,
    distance: (p) => {
      const d = p.map((x, k) => Math.abs(x) - half[k as Axis]);
      const outside = Math.hypot(...d.map((x) => Math.max(x, 0)));
      return outside > 0 ? outside : Math.max(...d);
    },
    panels: (request) => {
      const eased = noFinerThan(request, SLIT * FINENESS[request.quality].edge * size);
      return woven(half, axisCuts(half, eased), tolerance);
    },
    tessellate: () =>
      woven(
        half,
        half.map((h) => [-h, h]),
        tolerance,
      ),
    area: 2 * (lengths[0] * lengths[1] + lengths[1] * lengths[2] + lengths[2] * lengths[0]),
    volume: lengths[0] * lengths[1] * lengths[2],
    tolerance,
    bounds: { min: [-half[0], -half[1], -half[2]], max: half },
  };
}

/** Cut positions per axis, graded to both ends and to whatever is near any of the faces. */
function axisCuts(half: Vec3, request: SizeRequest): number[][] {
  const f = FINENESS[request.quality];
  const size = 2 * Math.max(...half);
  const coarse = request.wall ? 2 : 1;
  const thin = 2 * Math.min(...half);
  return ([0, 1, 2] as Axis[]).map((k) => {
    const edge = request.wall ? size : Math.min(f.edge * size, 0.25 * thin);
    const wishes: Wish[] = Array.from({ length: 65 }, (_, i) => {
      const s = (i / 64) * 2 * half[k];
      let h = Math.min(f.largest * coarse * size, 2 * half[k]);
      if (i === 0 || i === 64) h = Math.min(h, edge);
      if (request.gap) h = Math.min(h, f.gap * nearestAcross(half, k, s - half[k], request));
      return { s, h: Math.max(h, 1e-4 * size) };
    });
    limitGrowth(wishes, f.growth * coarse);
    return divide(wishes, 0, 2 * half[k]).map((s) => s - half[k]);
  });
}

/** Smallest gap over the ring of the four faces cut at x[k] = at. */
function nearestAcross(half: Vec3, k: Axis, at: number, request: SizeRequest): number {
  let least = Number.POSITIVE_INFINITY;
  const [i, j] = ([0, 1, 2] as Axis[]).filter((a) => a !== k) as [Axis, Axis];
  for (const [fixed, free] of [
    [i, j],
    [j, i],
  ] as [Axis, Axis][])
    for (const sign of [-1, 1])
      for (let t = -1; t <= 1; t += 0.5) {
        const p = [0, 0, 0];
        p[k] = at;
        p[fixed] = sign * half[fixed];
        p[free] = t * half[free];
        // Outside the vessel, or inside what it touches, a gap asks for nothing: that piece is cut away or joined.
        const gap = gapAt(request, p as unknown as Vec3);
        if (gap > 0) least = Math.min(least, gap);
      }
  return least;
}

function woven(half: Vec3, cuts: number[][], tolerance: number): Skin {
  const maker = new SkinMaker();
  let face = 0;
  for (const axis of [0, 1, 2] as Axis[])
    for (const sign of [-1, 1]) {
      // (u, v, outward) is right-handed: swap the two in-plane axes on the negative side.
      const [a, b] = [(axis + 1) % 3, (axis + 2) % 3] as [Axis, Axis];
      const [iu, iv] = sign > 0 ? [a, b] : [b, a];
      const id = face++;
      weave(
        {
          point: (u, v) => {
            const p = [0, 0, 0];
            p[axis] = sign * half[axis];
            p[iu] = u;
            p[iv] = v;
            return p as unknown as Vec3;
          },
          rows: cuts[iv]!,
          cuts: cuts[iv]!.map(() => cuts[iu]!),
          period: 0,
          face: () => id,
        },
        maker,
      );
    }
  return maker.finish(tolerance);
}
