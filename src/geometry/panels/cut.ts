import type { Face } from '../shapes/solid.js';
import { distance, dot, type Vec3 } from '../shapes/vector.js';
import { between, ontoPlane } from './project.js';
import type { Plane } from './size.js';
import type { Skin } from './skin.js';

/**
 * Keeps what of a skin lies below a plane. Corners close to the plane slide into it along their edge, so that no sliver
 * is left; the new rim lies on the surface and in the plane.
 */
export function cutBelow(skin: Skin, faces: Face[], plane: Plane, tolerance: number): Skin {
  const work = new Cutter(skin, faces, plane, tolerance);
  if (!work.touched()) return skin;
  work.slide();
  return { ...work.keep(), ...(skin.remarks && { remarks: skin.remarks }) };
}

/** Corners may slide this far along an edge, as a fraction of it. */
const SLIDE = 0.35;

class Cutter {
  private readonly points: Vec3[] = [];
  private readonly height: number[];
  private readonly moved: boolean[];
  private readonly edgeFaces = new Map<string, Set<number>>();
  private readonly cornerFaces: Set<number>[];
  private readonly mids = new Map<string, number>();

  constructor(
    private readonly skin: Skin,
    private readonly faces: Face[],
    private readonly plane: Plane,
    private readonly tolerance: number,
  ) {
    for (let i = 0; i < skin.nodes.length; i += 3)
      this.points.push([skin.nodes[i]!, skin.nodes[i + 1]!, skin.nodes[i + 2]!]);
    this.height = this.points.map((p) => this.level(p));
    this.moved = this.points.map(() => false);
    this.cornerFaces = this.points.map(() => new Set());
    this.eachEdge((a, b, mid, face) => {
      this.mids.set(key(a, b), mid);
      const both = this.edgeFaces.get(key(a, b));
      if (both) both.add(face);
      else this.edgeFaces.set(key(a, b), new Set([face]));
      this.cornerFaces[a]!.add(face);
      this.cornerFaces[b]!.add(face);
    });
  }

  private level(p: Vec3): number {
    const d = dot(this.plane.normal, p) - this.plane.offset;
    return Math.abs(d) < 100 * this.tolerance ? 0 : d;
  }

  private eachEdge(visit: (a: number, b: number, mid: number, face: number) => void): void {
    const { panels, face } = this.skin;
    for (let t = 0; t < face.length; t++)
      for (let k = 0; k < 3; k++)
        visit(panels[6 * t + k]!, panels[6 * t + ((k + 1) % 3)]!, panels[6 * t + 3 + k]!, face[t]!);
  }

  touched(): boolean {
    return this.skin.panels.some((node, i) => i % 6 < 3 && this.height[node]! > 0);
  }

  /** Moves corners that lie close to the plane into it; the shortest move first. */
  slide(): void {
    const wishes: { corner: number; t: number; to: Vec3 }[] = [];
    const seen = new Set<string>();
    this.eachEdge((a, b) => {
      if (seen.has(key(a, b)) || this.height[a]! * this.height[b]! >= 0) return;
      seen.add(key(a, b));
      const to = this.crossing(a, b);
      const l = distance(this.points[a]!, this.points[b]!);
      for (const corner of [a, b]) {
        const t = distance(this.points[corner]!, to) / l;
        if (t < SLIDE && this.maySlide(corner, a, b)) wishes.push({ corner, t, to });
      }
    });
    wishes.sort((x, y) => x.t - y.t);
    for (const { corner, to } of wishes) {
      if (this.height[corner] === 0) continue;
      this.points[corner] = to;
      this.height[corner] = 0;
      this.moved[corner] = true;
    }
  }

  /** A corner on a sharp edge slides only along that edge. */
  private maySlide(corner: number, a: number, b: number): boolean {
    const along = this.edgeFaces.get(key(a, b))!;
    return [...this.cornerFaces[corner]!].every((f) => along.has(f));
  }

  private facesOf(a: number, b: number, face = -1): Face[] {
    return [...(this.edgeFaces.get(key(a, b)) ?? [face])].map((f) => this.faces[f]!);
  }

  private crossing(a: number, b: number): Vec3 {
    const [p, q, ha, hb] = [this.points[a]!, this.points[b]!, this.height[a]!, this.height[b]!];
    const t = ha / (ha - hb);
    return between(this.facesOf(a, b), p, q, t, this.tolerance, [ontoPlane(this.plane)]);
  }

  keep(): Skin {
    const panels: number[] = [];
    const face: number[] = [];
    const splits = new Map<string, number>();
    const { height } = this;
    const split = (a: number, b: number): number => {
      let node = splits.get(key(a, b));
      if (node === undefined) {
        node = this.points.push(this.crossing(a, b)) - 1;
        height.push(0);
        this.moved.push(true);
        splits.set(key(a, b), node);
        const rims = this.edgeFaces.get(key(a, b))!;
        this.edgeFaces.set(key(a, node), rims);
        this.edgeFaces.set(key(node, b), rims);
      }
      return node;
    };
    for (let t = 0; t < this.skin.face.length; t++) {
      const corners = [0, 1, 2].map((k) => this.skin.panels[6 * t + k]!);
      if (corners.every((c) => height[c]! >= 0)) continue;
      const loop: number[] = [];
      corners.forEach((a, k) => {
        const b = corners[(k + 1) % 3]!;
        if (height[a]! <= 0) loop.push(a);
        if (height[a]! * height[b]! < 0) loop.push(split(a, b));
      });
      for (const [a, b, c] of this.triangles(loop)) {
        const f = this.skin.face[t]!;
        face.push(f);
        panels.push(a, b, c, this.mid(a, b, f), this.mid(b, c, f), this.mid(c, a, f));
      }
    }
    return compact(this.points, panels, face);
  }

  private triangles(loop: number[]): [number, number, number][] {
    const [a, b, c, d] = loop as [number, number, number, number | undefined];
    if (d === undefined) return [[a, b, c]];
    const p = this.points;
    return distance(p[a]!, p[c]!) < distance(p[b]!, p[d]!)
      ? [
          [a, b, c],
          [a, c, d],
        ]
      : [
          [a, b, d],
          [b, c, d],
        ];
  }

  private mid(a: number, b: number, face: number): number {
    const known = this.mids.get(key(a, b));
    if (known !== undefined && !this.moved[a] && !this.moved[b]) return known;
    const name = `${key(a, b)}m`;
    const made = this.mids.get(name);
    if (made !== undefined) return made;
    const also = this.height[a] === 0 && this.height[b] === 0 ? [ontoPlane(this.plane)] : [];
    const [p, q] = [this.points[a]!, this.points[b]!];
    const node = this.points.push(between(this.facesOf(a, b, face), p, q, 0.5, this.tolerance, also)) - 1;
    this.height.push(0);
    this.moved.push(true);
    this.mids.set(name, node);
    return node;
  }
}

const key = (a: number, b: number): string => (a < b ? `${a},${b}` : `${b},${a}`);

/** Drops nodes that no panel uses. */
export function compact(points: Vec3[], panels: number[], face: number[]): Skin {
  const number = new Map<number, number>();
  const nodes: number[] = [];
  const renumbered = panels.map((node) => {
    let n = number.get(node);
    if (n === undefined) {
      n = number.size;
      number.set(node, n);
      nodes.push(...points[node]!);
    }
    return n;
  });
  return {
    nodes: Float64Array.from(nodes),
    panels: Int32Array.from(renumbered),
    face: Int32Array.from(face),
  };
}
