import { cross, dot, subtract, unit, type Vec3 } from '../../shapes/vector.js';
import { ontoAll } from '../project.js';
import type { SmoothMesh } from './smooth.js';
import { type Hit, TriangleTree } from './tree.js';

/** Nearest points on the smooth pieces of a mesh and on the curves between them. Trees are made when first asked for. */
export class Pieces {
  private readonly trees = new Map<number, TriangleTree>();
  private readonly curves = new Map<string, Curve>();
  private readonly members: number[][];

  constructor(private readonly mesh: SmoothMesh) {
    this.members = Array.from({ length: mesh.labels }, () => []);
    mesh.label.forEach((l, t) => {
      this.members[l]!.push(t);
    });
  }

  /** Nearest triangle of a piece. */
  hit(p: Vec3, label: number): Hit {
    let tree = this.trees.get(label);
    if (!tree) {
      tree = new TriangleTree(this.mesh.vertices, this.mesh.triangles, this.members[label]!);
      this.trees.set(label, tree);
    }
    return tree.nearest(p)!;
  }

  closest(p: Vec3, label: number): Vec3 {
    return onPatch(this.mesh, this.hit(p, label));
  }

  /** Nearest point common to pieces: on a piece, on the curve between two, or by turns where more meet. */
  project(p: Vec3, labels: number[], tolerance: number): Vec3 {
    if (labels.length === 1) return this.closest(p, labels[0]!);
    if (labels.length === 2) {
      const curve = this.curve(labels[0]!, labels[1]!);
      if (curve.size > 0) return curve.closest(p);
    }
    return ontoAll(
      p,
      labels.map((l) => (q: Vec3) => this.closest(q, l)),
      tolerance,
    );
  }

  private curve(a: number, b: number): Curve {
    const name = a < b ? `${a},${b}` : `${b},${a}`;
    let curve = this.curves.get(name);
    if (!curve) {
      const small = this.members[a]!.length < this.members[b]!.length ? a : b;
      curve = new Curve(this.mesh, this.members[small]!, small === a ? b : a);
      this.curves.set(name, curve);
    }
    return curve;
  }
}

/** The edges between two pieces, bent as their mid-sides say. */
class Curve {
  readonly size: number;
  private readonly sides: number[] = [];
  private readonly tree: TriangleTree;

  constructor(
    private readonly mesh: SmoothMesh,
    members: number[],
    other: number,
  ) {
    const { twin, sharp, label, triangles } = mesh;
    for (const t of members)
      for (const h of [3 * t, 3 * t + 1, 3 * t + 2])
        if (sharp[h] && twin[h]! >= 0 && label[(twin[h]! / 3) | 0] === other) this.sides.push(h);
    this.size = this.sides.length;
    // A side is a triangle whose second and third corner coincide.
    const ends = this.sides.flatMap((h) => {
      const b = triangles[h % 3 === 2 ? h - 2 : h + 1]!;
      return [triangles[h]!, b, b];
    });
    this.tree = new TriangleTree(mesh.vertices, ends);
  }

  closest(p: Vec3): Vec3 {
    const { triangle, u, v } = this.tree.nearest(p)!;
    const s = u + v;
    const h = this.sides[triangle]!;
    const { vertices, triangles, mid } = this.mesh;
    const [a, b] = [3 * triangles[h]!, 3 * triangles[h % 3 === 2 ? h - 2 : h + 1]!];
    const [wa, wb, wm] = [(1 - s) * (1 - 2 * s), s * (2 * s - 1), 4 * s * (1 - s)];
    const at = (d: 0 | 1 | 2): number => wa * vertices[a + d]! + wb * vertices[b + d]! + wm * mid[h]![d];
    return [at(0), at(1), at(2)];
  }
}

/**
 * Point of the curved patch over a flat triangle: the foot, lifted along the triangle's normal only. The lift has a part
 * in the plane too where a rim is curved; with it a point brought here twice would wander.
 */
export function onPatch(mesh: SmoothMesh, { triangle: t, u, v }: Hit): Vec3 {
  const { vertices, triangles, mid } = mesh;
  const l = 1 - u - v;
  const weights = [
    l * (2 * l - 1) - l,
    u * (2 * u - 1) - u,
    v * (2 * v - 1) - v,
    4 * l * u,
    4 * u * v,
    4 * v * l,
  ];
  const corners = [0, 1, 2].map((k) => {
    const i = 3 * triangles[3 * t + k]!;
    return [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!] as const;
  }) as unknown as [Vec3, Vec3, Vec3];
  const [a, b, c] = corners;
  const n = unit(cross(subtract(b, a), subtract(c, a)));
  let lift = 0;
  for (let k = 0; k < 3; k++)
    lift += weights[k]! * dot(n, corners[k]!) + weights[k + 3]! * dot(n, mid[3 * t + k]!);
  const at = (d: 0 | 1 | 2): number => l * a[d] + u * b[d] + v * c[d] + lift * n[d];
  return [at(0), at(1), at(2)];
}
