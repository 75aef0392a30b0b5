import type { Placement, Shape } from '../shapes/index.js';
import type { TriangleMesh } from '../surface.js';
import type { Vessel } from './vessel.js';

/**
 * What a body is for. `clip` (what holds the hook) stays out of the liquid and gets no panels; a `shield` does not
 * conduct; all others are metal.
 */
export type BodyRole = 'part' | 'hook' | 'anode' | 'robber' | 'shield' | 'clip';

export interface BodySpec {
  /** Unique, as the person calls it: `ring`, `anode 2`. */
  name: string;
  role: BodyRole;
  /** A shape, or triangles from a file in metres (closed, repaired, facing outward). */
  form: Shape | { kind: 'mesh'; mesh: TriangleMesh };
  placement: Placement;
  /** Name of its patch; its own name if absent. Bodies may share one. */
  patch?: string;
  /** What it is wired to: bodies on one lead are one metal and may touch. Parts and hooks share `work`, anodes `anode`. */
  lead?: string;
}

export interface DomainSpec {
  bodies: BodySpec[];
  /** Absent: the electrolyte fills all space around the bodies. */
  vessel?: Vessel;
  /** Height of the liquid above the vessel floor [m], or the volume poured in [m3]: one of the two with a vessel. */
  liquidHeight?: number;
  liquidVolume?: number;
}

/** Name of the patch of the vessel's inside. */
export const WALL = 'wall';

export const leadOf = (body: BodySpec): string =>
  body.lead ??
  {
    part: 'work',
    hook: 'work',
    clip: 'work',
    anode: 'anode',
    robber: 'robber',
    shield: `shield ${body.name}`,
  }[body.role];

export const conducts = (body: BodySpec): boolean => body.role !== 'shield';
