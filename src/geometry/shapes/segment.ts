import type { Vec2 } from './vector.js';

/** A piece of a plane curve: a straight line, or an arc of an axis-parallel ellipse (a circle where both radii agree). */
export type Segment =
  | { kind: 'line'; from: Vec2; to: Vec2 }
  /** Angles are the parameter of centre + (a cos t, b sin t); `end` below `start` runs clockwise. */
  | { kind: 'arc'; centre: Vec2; radii: Vec2; start: number; end: number };

export const line = (from: Vec2, to: Vec2): Segment => ({ kind: 'line', from, to });
export const arc = (centre: Vec2, radius: number, start: number, end: number): Segment => ({
  kind: 'arc',
  centre,
  radii: [radius, radius],
  start,
  end,
});

/** Point at parameter t in [0, 1]. */
export function pointOn(s: Segment, t: number): Vec2 {
  if (s.kind === 'line')
    return [s.from[0] + t * (s.to[0] - s.from[0]), s.from[1] + t * (s.to[1] - s.from[1])];
  const a = s.start + t * (s.end - s.start);
  return [s.centre[0] + s.radii[0] * Math.cos(a), s.centre[1] + s.radii[1] * Math.sin(a)];
}

/** Derivative by t: direction and speed. */
export function slopeOn(s: Segment, t: number): Vec2 {
  if (s.kind === 'line') return [s.to[0] - s.from[0], s.to[1] - s.from[1]];
  const w = s.end - s.start;
  const a = s.start + t * w;
  return [-s.radii[0] * Math.sin(a) * w, s.radii[1] * Math.cos(a) * w];
}

/** Curvature [1/m] at t, without sign. */
export function curvatureOn(s: Segment, t: number): number {
  if (s.kind === 'line') return 0;
  const [a, b] = s.radii;
  const angle = s.start + t * (s.end - s.start);
  return (a * b) / ((a * Math.sin(angle)) ** 2 + (b * Math.cos(angle)) ** 2) ** 1.5;
}

/** Length [m]; elliptic arcs by composite Gauss quadrature to about 1e-12. */
export function lengthOf(s: Segment): number {
  if (s.kind === 'line' || s.radii[0] === s.radii[1]) return Math.hypot(...slopeOn(s, 0));
  return integrate((t) => Math.hypot(...slopeOn(s, t)));
}

/** Composite five-point Gauss rule on [0, 1]. */
export function integrate(f: (t: number) => number, pieces = 32): number {
  let sum = 0;
  for (let k = 0; k < pieces; k++)
    for (let i = 0; i < 5; i++)
      sum += (GAUSS_WEIGHT[i]! / (2 * pieces)) * f((k + 0.5 + 0.5 * GAUSS_POINT[i]!) / pieces);
  return sum;
}
const GAUSS_INNER = Math.sqrt(5 - 2 * Math.sqrt(10 / 7)) / 3;
const GAUSS_OUTER = Math.sqrt(5 + 2 * Math.sqrt(10 / 7)) / 3;
const GAUSS_POINT = [-GAUSS_OUTER, -GAUSS_INNER, 0, GAUSS_INNER, GAUSS_OUTER];
const WIDE = (322 + 13 * Math.sqrt(70)) / 900;
const NARROW = (322 - 13 * Math.sqrt(70)) / 900;
const GAUSS_WEIGHT = [NARROW, WIDE, 128 / 225, WIDE, NARROW];

/** Parameter of the nearest point of the segment. */
export function nearestOn(s: Segment, p: Vec2): number {
  if (s.kind === 'line') {
    const dx = s.to[0] - s.from[0];
    const dy = s.to[1] - s.from[1];
    const t = ((p[0] - s.from[0]) * dx + (p[1] - s.from[1]) * dy) / (dx * dx + dy * dy);
    return Math.min(1, Math.max(0, t));
  }
  const x = p[0] - s.centre[0];
  const y = p[1] - s.centre[1];
  const angle =
    s.radii[0] === s.radii[1] ? Math.atan2(y, x) : nearestEllipseAngle(s.radii[0], s.radii[1], x, y);
  return withinArc(s, p, angle);
}

/** Brings an angle into the arc's range, or picks the nearer end. */
function withinArc(s: Segment & { kind: 'arc' }, p: Vec2, angle: number): number {
  const span = s.end - s.start;
  const turn = 2 * Math.PI * Math.sign(span);
  let t = (angle - s.start) / span;
  const period = turn / span;
  t -= Math.floor(t / period) * period;
  if (t <= 1) return t;
  const far = (at: number): number => {
    const q = pointOn(s, at);
    return Math.hypot(q[0] - p[0], q[1] - p[1]);
  };
  return far(0) < far(1) ? 0 : 1;
}

/** Parameter angle of the nearest point of an ellipse: fixed-point iteration on the centre of curvature, quadrant by quadrant. */
function nearestEllipseAngle(a: number, b: number, x: number, y: number): number {
  const px = Math.abs(x);
  const py = Math.abs(y);
  let tx = Math.SQRT1_2;
  let ty = Math.SQRT1_2;
  for (let i = 0; i < 40; i++) {
    const ex = ((a * a - b * b) * tx ** 3) / a;
    const ey = ((b * b - a * a) * ty ** 3) / b;
    const r = Math.hypot(a * tx - ex, b * ty - ey);
    const q = Math.hypot(px - ex, py - ey) || 1e-300;
    const nx = Math.min(1, Math.max(0, (((px - ex) * r) / q + ex) / a));
    const ny = Math.min(1, Math.max(0, (((py - ey) * r) / q + ey) / b));
    const n = Math.hypot(nx, ny);
    const moved = Math.abs(nx / n - tx) + Math.abs(ny / n - ty);
    tx = nx / n;
    ty = ny / n;
    if (moved < 1e-15) break;
  }
  return Math.atan2(y < 0 ? -ty : ty, x < 0 ? -tx : tx);
}
