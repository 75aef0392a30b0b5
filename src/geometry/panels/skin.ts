import type { Problem } from '../../units/index.js';
import type { Vec3 } from '../shapes/vector.js';
import type { TriangleMesh } from '../surface.js';

/**
 * Panels of one body while they are being made: quadratic triangles seen from outside the metal counter-clockwise,
 * each knowing which smooth face of the body it belongs to.
 */
export interface Skin {
  /** xyz [m] of corners and mid-sides. */
  nodes: Float64Array;
  /** Six node numbers a panel: corners a, b, c, mid-sides of ab, bc, ca. */
  panels: Int32Array;
  /** Smooth face of the body each panel lies on; sharp edges run between faces. */
  face: Int32Array;
  /** What the person should know about how well the panels follow the form. */
  remarks?: Problem[];
}

/** Collects panels as loose points and joins equal points at the end. */
export class SkinMaker {
  private readonly points: number[] = [];
  private readonly faces: number[] = [];

  /** One panel from its three corners and three mid-sides (ab, bc, ca). */
  panel(face: number, a: Vec3, b: Vec3, c: Vec3, ab: Vec3, bc: Vec3, ca: Vec3): void {
    this.points.push(...a, ...b, ...c, ...ab, ...bc, ...ca);
    this.faces.push(face);
  }

  /** Joins points closer than about `tolerance` [m] and returns the panels. */
  finish(tolerance: number): Skin {
    const { index, kept } = join(this.points, tolerance);
    return { nodes: kept, panels: index, face: Int32Array.from(this.faces) };
  }
}

/** Numbers points so that points closer than `tolerance` [m] share a number (the first one seen keeps its place). */
export function join(
  points: ArrayLike<number>,
  tolerance: number,
): { index: Int32Array; kept: Float64Array } {
  const count = points.length / 3;
  const index = new Int32Array(count);
  const kept: number[] = [];
  const next: number[] = [];
  const cell = 64 * tolerance;
  const heads = new Map<number, number>();
  const key = (x: number, y: number, z: number): number =>
    Math.imul(x, 73856093) ^ Math.imul(y, 19349663) ^ Math.imul(z, 83492791);
  const find = (px: number, py: number, pz: number): number => {
    for (let x = Math.floor((px - tolerance) / cell); x * cell <= px + tolerance; x++)
      for (let y = Math.floor((py - tolerance) / cell); y * cell <= py + tolerance; y++)
        for (let z = Math.floor((pz - tolerance) / cell); z * cell <= pz + tolerance; z++)
          for (let i = heads.get(key(x, y, z)) ?? -1; i >= 0; i = next[i]!)
            if (Math.hypot(kept[3 * i]! - px, kept[3 * i + 1]! - py, kept[3 * i + 2]! - pz) <= tolerance)
              return i;
    return -1;
  };
  for (let i = 0; i < count; i++) {
    const [px, py, pz] = [points[3 * i]!, points[3 * i + 1]!, points[3 * i + 2]!];
    let found = find(px, py, pz);
    if (found < 0) {
      found = next.length;
      kept.push(px, py, pz);
      const home = key(Math.floor(px / cell), Math.floor(py / cell), Math.floor(pz / cell));
      next.push(heads.get(home) ?? -1);
      heads.set(home, found);
    }
    index[i] = found;
  }
  return { index, kept: Float64Array.from(kept) };
}

/** The flat triangles through the corners: what a file or a boolean operation gets. */
export function facets(skin: Skin): TriangleMesh {
  const count = skin.panels.length / 6;
  const number = new Int32Array(skin.nodes.length / 3).fill(-1);
  const vertices: number[] = [];
  const triangles = new Uint32Array(3 * count);
  for (let t = 0; t < count; t++)
    for (let k = 0; k < 3; k++) {
      const node = skin.panels[6 * t + k]!;
      if (number[node]! < 0) {
        number[node] = vertices.length / 3;
        vertices.push(skin.nodes[3 * node]!, skin.nodes[3 * node + 1]!, skin.nodes[3 * node + 2]!);
      }
      triangles[3 * t + k] = number[node]!;
    }
  return { vertices: Float64Array.from(vertices), triangles };
}
