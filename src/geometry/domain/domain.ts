import type { Quality } from '../panels/size.js';
import type { Placement } from '../shapes/shape.js';
import type { PanelSurface } from '../surface.js';
import type { DomainSpec } from './spec.js';

/** A stretch of panels that moves, or stays, as one piece: one body, several joined ones, or the wall. */
export interface Block {
  /** Numbers of its bodies in the spec; empty for the wall. */
  bodies: number[];
  /** Nodes xyz [m] and panels (six nodes, numbered from 0 within the block). */
  nodes: Float64Array;
  panels: Int32Array;
  /** Body of each panel in the spec, -1 for the wall. */
  owner: Int32Array;
  /** Smooth face of the owner each panel lies on. */
  face: Int32Array;
  /** What the block was made from, to tell whether it can be kept. */
  made: Made;
}

/** What the panels of a block depend on, apart from what stands near. */
export interface Made {
  /** Form and fineness, without place. */
  form: string;
  placements: Placement[];
  /** Liquid height [m] where the surface cuts the block. */
  cutAt?: number;
}

/** Nearest approach of two things in the vessel. */
export interface Gap {
  from: string;
  to: string;
  /** [m]; zero where they touch. */
  gap: number;
}

/** The electrolyte, ready for the field. */
export interface Domain {
  /** What it was built from, compound shapes taken apart into their pieces. */
  spec: DomainSpec;
  quality: Quality;
  /** Panels wound so that normals point out of the liquid. `surface.body` numbers the blocks. */
  surface: PanelSurface;
  blocks: Block[];
  /** The liquid surface: a mirror, without panels. Absent without a vessel. */
  mirrorHeight?: number;
  /** Wetted area of each patch [m2], by patch number. */
  areas: number[];
  /** Immersed volume of each block [m3]; the wall's entry is the volume of an empty vessel to that height. */
  volumes: number[];
  /** Volume of liquid [m3]; NaN without a vessel. */
  liquidVolume: number;
  gaps: Gap[];
  /** Body (number in the spec, -1 the wall) and face of it, by panel. */
  owner: Int32Array;
  face: Int32Array;
  /** Which blocks were taken over unchanged, or as a rigidly moved copy, from the domain built before. */
  kept: ('same' | 'moved' | 'new')[];
}
