import { done, type Outcome, type Problem, plain, refused } from '../../units/index.js';
import type { SizeRequest } from '../panels/size.js';
import type { Skin } from '../panels/skin.js';
import { box } from '../shapes/box.js';
import { lathe } from '../shapes/lathe.js';
import { profileOf } from '../shapes/profile.js';
import { arc, line, type Segment } from '../shapes/segment.js';
import type { Vec3 } from '../shapes/vector.js';

/**
 * A vessel by its inside measures [m]. It stands on z = 0 with its axis along z. A round vessel may have a rounded
 * bottom corner; a jar narrows to a neck over a shoulder.
 */
export type Vessel =
  | { kind: 'beaker' | 'round-tank'; diameter: number; height: number; corner?: number }
  | { kind: 'box-tank'; x: number; y: number; height: number }
  | {
      kind: 'jar';
      diameter: number;
      height: number;
      neckDiameter: number;
      neckHeight: number;
      corner?: number;
    };

/** The inside of a vessel filled to some height. */
export interface Cavity {
  /** Distance [m] from a point to the wall or floor, positive inside, negative outside; the open top is no wall. */
  distance(p: Vec3): number;
  /** Panels of the wetted wall and floor up to the liquid; they face out of the liquid. */
  panels(request: SizeRequest): Skin;
  /** Area of the liquid surface with nothing in it [m2]. */
  surfaceArea: number;
}

/** Proportions of a common low-form beaker: height 1.4 times the diameter (common practice, no source). */
const BEAKER_RATIO = 1.4;

/** A vessel that holds so much to the brim [m3]; `ratio` is height over diameter (for a box tank over both sides). */
export function vesselOfVolume(
  kind: 'beaker' | 'round-tank' | 'box-tank',
  volume: number,
  ratio = BEAKER_RATIO,
): Vessel {
  if (kind === 'box-tank') {
    const side = Math.cbrt(volume / ratio);
    return { kind, x: side, y: side, height: side * ratio };
  }
  const diameter = Math.cbrt((4 * volume) / (Math.PI * ratio));
  return { kind, diameter, height: diameter * ratio };
}

export function checkVessel(vessel: Vessel, path = 'vessel'): Problem[] {
  const problems: Problem[] = [];
  for (const [name, value] of Object.entries(vessel)) {
    if (name === 'kind' || (name === 'corner' && value === 0)) continue;
    if (typeof value !== 'number' || !(value > 0) || !Number.isFinite(value) || value > 10)
      problems.push({
        code: 'vessel-size',
        path: `${path}.${name}`,
        message: `${name} of the vessel is ${String(value)} m.`,
        hint: 'Measure the inside; bench vessels run from a few centimetres to a metre or two.',
      });
  }
  if (problems.length > 0) return problems;
  if (vessel.kind === 'jar' && (vessel.neckDiameter >= vessel.diameter || vessel.neckHeight >= vessel.height))
    problems.push({
      code: 'jar-neck',
      path: `${path}.neckDiameter`,
      message: 'The neck of the jar is not smaller than the jar.',
      hint: 'Give the neck inside diameter and its height, or choose a beaker.',
    });
  if (vessel.kind !== 'box-tank' && (vessel.corner ?? 0) > Math.min(vessel.diameter / 2, vessel.height / 2))
    problems.push({
      code: 'vessel-corner',
      path: `${path}.corner`,
      message: `The bottom corner radius ${plain((vessel.corner ?? 0) * 1e3)} mm does not fit the vessel.`,
      hint: 'It is at most half the diameter.',
    });
  return problems;
}

/** Half section of the whole inside, from the middle of the floor up. */
function section(v: Exclude<Vessel, { kind: 'box-tank' }>): Segment[] {
  const r = v.diameter / 2;
  const c = v.corner ?? 0;
  const segments: Segment[] = [];
  if (r - c > 1e-9) segments.push(line([0, 0], [r - c, 0]));
  if (c > 0) segments.push(arc([r - c, c], c, -Math.PI / 2, 0));
  if (v.kind !== 'jar') return [...segments, line([r, c], [r, v.height])];
  const neck = v.neckDiameter / 2;
  const shoulder = v.height - v.neckHeight;
  // The shoulder rises as much as it narrows, as far as the body of the jar leaves room.
  const rise = Math.min(r - neck, (shoulder - c) / 2);
  return [
    ...segments,
    line([r, c], [r, shoulder - rise]),
    line([r, shoulder - rise], [neck, shoulder]),
    line([neck, shoulder], [neck, v.height]),
  ];
}

/** Inside of a vessel filled to a height [m]. The vessel has been checked. */
export function cavity(vessel: Vessel, height: number): Cavity {
  if (vessel.kind === 'box-tank') return boxCavity(vessel, height);
  const profile = profileOf(section(vessel), false);
  const solid = lathe(profile);
  return {
    distance: (p) => -solid.distance(p),
    panels: (request) => {
      const skin = solid.panels({ ...request, wall: true, below: { normal: [0, 0, 1], offset: height } });
      // The rim lies in the liquid surface to the last digit.
      for (let i = 2; i < skin.nodes.length; i += 3)
        if (Math.abs(skin.nodes[i]! - height) < 1e-9) skin.nodes[i] = height;
      return skin;
    },
    surfaceArea: Math.PI * radiusAt(vessel, height) ** 2,
  };
}

function boxCavity(vessel: Extract<Vessel, { kind: 'box-tank' }>, height: number): Cavity {
  const up = (p: Vec3, by: number): Vec3 => [p[0], p[1], p[2] + by];
  const filled = box([vessel.x, vessel.y, height]);
  const top = 5;
  return {
    distance: (p) => Math.min(vessel.x / 2 - Math.abs(p[0]), vessel.y / 2 - Math.abs(p[1]), p[2]),
    panels: (request) => {
      const gap = request.gap;
      const skin = filled.panels({
        ...request,
        ...(gap && { gap: (p: Vec3) => gap(up(p, height / 2)) }),
        wall: true,
      });
      const keep = [...skin.face.keys()].filter((t) => skin.face[t] !== top);
      return {
        nodes: skin.nodes.map((x, i) => (i % 3 === 2 ? x + height / 2 : x)),
        panels: Int32Array.from(keep.flatMap((t) => [...skin.panels.subarray(6 * t, 6 * t + 6)])),
        face: Int32Array.from(keep.map((t) => skin.face[t]!)),
      };
    },
    surfaceArea: vessel.x * vessel.y,
  };
}

function radiusAt(vessel: Exclude<Vessel, { kind: 'box-tank' }>, z: number): number {
  for (const s of section(vessel)) {
    if (s.kind === 'line') {
      const [z0, z1] = [s.from[1], s.to[1]];
      if (z1 > z0 && z >= z0 && z <= z1) return s.from[0] + ((z - z0) / (z1 - z0)) * (s.to[0] - s.from[0]);
    } else if (z >= s.centre[1] - s.radii[1] && z <= s.centre[1])
      return s.centre[0] + Math.sqrt(Math.max(0, s.radii[0] ** 2 - (z - s.centre[1]) ** 2));
  }
  return 0;
}

/** Volume of the empty vessel up to a height [m3]. */
export function volumeTo(vessel: Vessel, height: number): number {
  const z = Math.min(vessel.height, Math.max(0, height));
  if (vessel.kind === 'box-tank') return vessel.x * vessel.y * z;
  let volume = 0;
  for (const s of section(vessel)) {
    if (s.kind === 'line') {
      const [z0, z1] = [Math.min(s.from[1], z), Math.min(s.to[1], z)];
      const [r0, r1] = [radiusOn(s.from, s.to, z0), radiusOn(s.from, s.to, z1)];
      volume += (Math.PI * (z1 - z0) * (r0 * r0 + r0 * r1 + r1 * r1)) / 3;
    } else {
      // r = m + sqrt(c^2 - (z - c)^2), integrated from 0 to h.
      const [m, c] = s.centre;
      const h = Math.min(c, z);
      const x = h - c;
      const root = Math.sqrt(Math.max(0, c * c - x * x));
      const disc = (c * c * (Math.asin(x / c) + Math.PI / 2) + x * root) / 2;
      volume += Math.PI * (m * m * h + 2 * m * disc + c * c * h - (x ** 3 + c ** 3) / 3);
    }
  }
  return volume;
}

const radiusOn = (a: readonly [number, number], b: readonly [number, number], z: number): number =>
  b[1] > a[1] ? a[0] + ((z - a[1]) / (b[1] - a[1])) * (b[0] - a[0]) : a[0];

/**
 * Height of the liquid [m] once everything is in: the vessel's volume to that height less what is immersed equals the
 * liquid poured in. `displaced(height)` is the volume [m3] of the bodies below a height.
 */
export function fillHeight(
  vessel: Vessel,
  liquid: number,
  displaced: (height: number) => number,
): Outcome<number> {
  const room = volumeTo(vessel, vessel.height) - displaced(vessel.height);
  if (!(liquid > 0) || liquid > room)
    return refused({
      code: liquid > 0 ? 'vessel-overflows' : 'no-liquid',
      path: 'vessel.liquidVolume',
      message: `${plain(liquid * 1e6)} mL of liquid do not fit: with everything in it the vessel holds ${plain(room * 1e6)} mL to the brim.`,
      hint: 'Pour in less or take a larger vessel.',
    });
  let [low, high] = [0, vessel.height];
  for (let i = 0; i < 60; i++) {
    const mid = (low + high) / 2;
    if (volumeTo(vessel, mid) - displaced(mid) < liquid) low = mid;
    else high = mid;
  }
  return done((low + high) / 2);
}
