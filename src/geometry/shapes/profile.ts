import { curvatureOn, integrate, lengthOf, nearestOn, pointOn, type Segment, slopeOn } from './segment.js';
import type { Vec2 } from './vector.js';

/**
 * A chain of segments with the metal on its left: the half section (r, z) of a turned body, or a closed outline (x, y).
 * Positions along it are counted as segment number plus parameter, e.g. 2.5 = middle of the third segment.
 */
export interface Profile {
  segments: Segment[];
  /** True where the chain closes on itself; an open one of a turned body starts and ends on the axis. */
  closed: boolean;
  /** Length of each segment [m]. */
  lengths: number[];
  /**
   * Face of each segment. Roundings are faces of their own, so that panels made anew keep their outline even where it
   * joins a flat without a kink.
   */
  face: number[];
  faces: number;
  /** At the start of each segment: angle [rad] the outside opens by, positive where an edge stands out, 0 smooth or free. */
  kink: number[];
}

/** Kinks below this count as smooth [rad]. */
const SMOOTH = 0.02;

export function profileOf(segments: Segment[], closed: boolean): Profile {
  const kink = segments.map((s, i) => {
    if (i === 0 && !closed) return 0;
    const before = slopeOn(segments[(i + segments.length - 1) % segments.length]!, 1);
    const here = slopeOn(s, 0);
    const turn = Math.atan2(
      before[0] * here[1] - before[1] * here[0],
      before[0] * here[0] + before[1] * here[1],
    );
    return Math.abs(turn) < SMOOTH ? 0 : turn;
  });
  return {
    segments,
    closed,
    lengths: segments.map(lengthOf),
    face: segments.map((_, i) => i),
    faces: segments.length,
    kink,
  };
}

export const at = (p: Profile, v: number): Vec2 => {
  const i = Math.min(p.segments.length - 1, Math.max(0, Math.floor(v)));
  return pointOn(p.segments[i]!, v - i);
};

export const curvatureAt = (p: Profile, v: number): number => {
  const i = Math.min(p.segments.length - 1, Math.max(0, Math.floor(v)));
  return curvatureOn(p.segments[i]!, v - i);
};

/** Nearest point of the chain, or of one of its faces only. */
export function nearest(p: Profile, q: Vec2, face = -1): { point: Vec2; distance: number; segment: number } {
  let point = q;
  let distance = Number.POSITIVE_INFINITY;
  let segment = 0;
  for (let i = 0; i < p.segments.length; i++) {
    if (face >= 0 && p.face[i] !== face) continue;
    const near = pointOn(p.segments[i]!, nearestOn(p.segments[i]!, q));
    const d = Math.hypot(near[0] - q[0], near[1] - q[1]);
    if (d < distance) {
      point = near;
      distance = d;
      segment = i;
    }
  }
  return { point, distance, segment };
}

/** Whether a point lies on the metal side (left); for open chains the axis r = 0 closes the section. */
export function inside(p: Profile, q: Vec2): boolean {
  // Crossings of a ray toward +r: exact for lines, and for arcs by solving for the parameter.
  let odd = false;
  for (let i = 0; i < p.segments.length; i++) {
    const s = p.segments[i]!;
    // Most segments pass above or below.
    if (s.kind === 'line' && s.from[1] <= q[1] === s.to[1] <= q[1]) continue;
    if (s.kind === 'arc' && Math.abs(q[1] - s.centre[1]) > s.radii[1]) continue;
    for (const r of crossings(s, q[1])) if (r > q[0]) odd = !odd;
  }
  return odd;
}

/** First coordinates where a segment crosses the height z. */
const crossings = (s: Segment, z: number): number[] => crossingsAt(s, z).map((t) => pointOn(s, t)[0]);

/** Parameters where a segment crosses the height z, ascending; half-open so that joints count once. */
function crossingsAt(s: Segment, z: number): number[] {
  if (s.kind === 'line') {
    const [z0, z1] = [s.from[1], s.to[1]];
    if (z0 <= z === z1 <= z) return [];
    return [(z - z0) / (z1 - z0)];
  }
  // Cut the arc at its highest and lowest points; each piece is monotone in z.
  const stops = [0, 1];
  for (let k = -5; k <= 5; k++) {
    const t = (Math.PI / 2 + k * Math.PI - s.start) / (s.end - s.start);
    if (t > 0 && t < 1) stops.push(t);
  }
  stops.sort((a, b) => a - b);
  const found: number[] = [];
  for (let k = 0; k + 1 < stops.length; k++) {
    let [low, high] = [stops[k]!, stops[k + 1]!];
    const below = pointOn(s, low)[1] <= z;
    if (below === pointOn(s, high)[1] <= z) continue;
    for (let i = 0; i < 60; i++) {
      const mid = (low + high) / 2;
      if (pointOn(s, mid)[1] <= z === below) low = mid;
      else high = mid;
    }
    found.push(low);
  }
  return found;
}

/** The chains of a profile with side * z below side * height, e.g. the immersed part of an upright rod. */
export function chainsBelow(p: Profile, height: number, side: number): Profile[] {
  const pieces: { segment: Segment; face: number; kink: number; joined: boolean }[] = [];
  let open = false;
  p.segments.forEach((s, i) => {
    const stops = [0, ...crossingsAt(s, height), 1];
    for (let k = 0; k + 1 < stops.length; k++) {
      const wet = side * (pointOn(s, (stops[k]! + stops[k + 1]!) / 2)[1] - height) < 0;
      if (wet && stops[k + 1]! - stops[k]! > 1e-9)
        pieces.push({
          segment: part(s, stops[k]!, stops[k + 1]!),
          face: p.face[i]!,
          kink: k === 0 ? p.kink[i]! : 0,
          joined: open && k === 0,
        });
      open = wet;
    }
  });
  if (pieces.length === 0) return [];
  const breaks = pieces.flatMap((q, i) => (i > 0 && !q.joined ? [i] : []));
  const whole = p.closed && open && side * (pointOn(p.segments[0]!, 0)[1] - height) < 0;
  // A closed profile may start in the middle of a wet chain: begin at a break instead.
  const start = whole ? (breaks[0] ?? 0) : 0;
  const turnedAround = [...pieces.slice(start), ...pieces.slice(0, start)];
  const chains: (typeof pieces)[] = [];
  turnedAround.forEach((q, i) => {
    if (i === 0 || (!q.joined && !(whole && i === pieces.length - start))) chains.push([]);
    chains.at(-1)!.push(q);
  });
  const untouched = p.closed && whole && breaks.length === 0;
  return chains.map((chain) => ({
    segments: chain.map((q) => q.segment),
    closed: untouched,
    lengths: chain.map((q) => lengthOf(q.segment)),
    face: chain.map((q) => q.face),
    faces: p.faces,
    kink: chain.map((q, i) => (i === 0 && !untouched ? 0 : q.kink)),
  }));
}

function part(s: Segment, from: number, to: number): Segment {
  if (from === 0 && to === 1) return s;
  if (s.kind === 'line') return { kind: 'line', from: pointOn(s, from), to: pointOn(s, to) };
  const span = s.end - s.start;
  return { ...s, start: s.start + from * span, end: s.start + to * span };
}

/** Area [m2] and volume [m3] of the body turned about the axis, by Pappus and Guldin. */
export function turned(p: Profile): { area: number; volume: number } {
  let area = 0;
  let volume = 0;
  for (const s of p.segments) {
    const pieces = s.kind === 'line' ? 1 : 32;
    area += 2 * Math.PI * integrate((t) => pointOn(s, t)[0] * Math.hypot(...slopeOn(s, t)), pieces);
    volume += Math.PI * integrate((t) => pointOn(s, t)[0] ** 2 * slopeOn(s, t)[1], pieces);
  }
  return { area, volume };
}

/** Enclosed area [m2] (positive when the inside is on the left) and length [m] of a closed outline. */
export function enclosed(p: Profile): { area: number; length: number } {
  let area = 0;
  for (const s of p.segments)
    area += integrate((t) => {
      const [x, y] = pointOn(s, t);
      const [dx, dy] = slopeOn(s, t);
      return (x * dy - y * dx) / 2;
    });
  return { area, length: p.lengths.reduce((a, b) => a + b, 0) };
}
