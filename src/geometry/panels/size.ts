import type { Watch } from '../../numerics/index.js';
import type { Vec3 } from '../shapes/vector.js';

/** How fine a surface is cut: `draft` while placing things, `standard` for a forecast, `fine` to check one. */
export type Quality = 'draft' | 'standard' | 'fine';

/** What the panel makers are asked for. */
export interface SizeRequest {
  quality: Quality;
  /** Distance [m] from a point of the surface to the nearest other body; absent or Infinity where it stands alone. */
  gap?: (p: Vec3) => number;
  /** An insulating vessel wall: current runs along it smoothly, so panels may be far larger and edges need no grading. */
  wall?: boolean;
  /** Only the side below this plane is wanted; makers that can end a row in it do so, the rest is cut later. */
  below?: Plane;
  /** Long work reports to it and stops when told. */
  watch?: Watch;
}

/** Points with normal . p = offset; the normal has unit length. */
export interface Plane {
  normal: Vec3;
  offset: number;
}

/**
 * The numbers behind a quality. They were set by refining the ring benchmark and the closed forms in docs/theory/panels.md
 * until a further step no longer moved the resistance; they are choices, not constants of nature.
 */
export interface Fineness {
  /** Largest angle of one panel around an axis of turning [rad], where the nearest body is about a radius away. */
  around: number;
  /** Largest angle of one panel across a rounding [rad]. */
  bend: number;
  /** How fast panels may grow away from an edge or a rounding: size rises by this much per unit length. */
  growth: number;
  /** Panel at a sharp edge as a fraction of the body. */
  edge: number;
  /** Largest panel as a fraction of the distance to the nearest other body. */
  gap: number;
  /** Largest panel as a fraction of the body. */
  largest: number;
}

const DEGREE = Math.PI / 180;

export const FINENESS: Record<Quality, Fineness> = {
  draft: { around: 36 * DEGREE, bend: 90 * DEGREE, growth: 1.4, edge: 1 / 14, gap: 1.7, largest: 1 / 3 },
  standard: { around: 22.5 * DEGREE, bend: 45 * DEGREE, growth: 0.8, edge: 1 / 48, gap: 1, largest: 1 / 5 },
  fine: { around: 12 * DEGREE, bend: 30 * DEGREE, growth: 0.55, edge: 1 / 160, gap: 0.7, largest: 1 / 8 },
};

/**
 * The same request with gaps taken no narrower than asks for panels of this size [m]: across a slit the field is even,
 * and stretched panels do; following it down would take tens of thousands.
 */
export function noFinerThan(request: SizeRequest, least: number): SizeRequest {
  const { gap } = request;
  if (!gap) return request;
  const narrowest = least / FINENESS[request.quality].gap;
  return { ...request, gap: (p) => Math.max(narrowest, gap(p)) };
}

/** Least panel that a neighbour may ask for, in panels at a sharp edge of the same body. */
export const SLIT = 3;

export const gapAt = (request: SizeRequest, p: Vec3): number => request.gap?.(p) ?? Number.POSITIVE_INFINITY;

/** Most that a body far from all others may relax `around` by; more would cost area (a quadratic arc lies inside its circle). */
export const RELIEF = 1.6;

/**
 * Largest panel [m] around a body of local radius r [m]. The field of a body at distance d varies around it like a
 * series in (r/d)^n, so a thin wire far from everything needs fewer panels around than a ring next to its anode.
 */
export function sizeAround(f: Fineness, radius: number, gap: number): number {
  const relief = radius > 0 ? Math.min(RELIEF, Math.max(1, Math.cbrt(gap / radius))) : RELIEF;
  return Math.min(f.around * relief * radius, f.gap * gap);
}

/** A wish for a panel size h [m] at arc length s [m] along a curve. */
export interface Wish {
  s: number;
  h: number;
}

/** Lowers wishes so that the size nowhere grows faster than `growth` per unit length; `period` closes the curve. */
export function limitGrowth(wishes: Wish[], growth: number, period = 0): void {
  const n = wishes.length;
  const laps = period > 0 ? 2 : 1;
  for (const step of [1, -1])
    for (let k = 1; k < n * laps; k++) {
      const i = step > 0 ? k : n * laps - 1 - k;
      const here = wishes[((i % n) + n) % n]!;
      const before = wishes[(((i - step) % n) + n) % n]!;
      if (period === 0 && (i - step < 0 || i - step >= n)) continue;
      let gap = Math.abs(here.s - before.s);
      if (period > 0) gap = Math.min(gap, period - gap);
      here.h = Math.min(here.h, before.h + growth * gap);
    }
}

/** Cuts [from, to] into pieces whose sizes follow the wishes (at least `fewest`); returns the cut positions, ends included. */
export function divide(wishes: Wish[], from: number, to: number, fewest = 1): number[] {
  const steps = 64;
  const total = new Float64Array(steps + 1);
  let k = 0;
  const wishAt = (s: number): number => {
    while (k > 0 && wishes[k]!.s > s) k--;
    while (k < wishes.length - 2 && wishes[k + 1]!.s < s) k++;
    const a = wishes[k]!;
    const b = wishes[Math.min(k + 1, wishes.length - 1)]!;
    const t = b.s > a.s ? Math.min(1, Math.max(0, (s - a.s) / (b.s - a.s))) : 0;
    return a.h + t * (b.h - a.h);
  };
  for (let i = 0; i < steps; i++)
    total[i + 1] = total[i]! + (to - from) / steps / wishAt(from + ((i + 0.5) / steps) * (to - from));
  // A quarter of a panel is not worth another one.
  const pieces = Math.max(fewest, Math.ceil(total[steps]! - 0.25));
  const cuts = [from];
  for (let j = 1, i = 0; j < pieces; j++) {
    const goal = (j / pieces) * total[steps]!;
    while (total[i + 1]! < goal) i++;
    const t = (goal - total[i]!) / (total[i + 1]! - total[i]!);
    cuts.push(from + ((i + t) / steps) * (to - from));
  }
  cuts.push(to);
  return cuts;
}
