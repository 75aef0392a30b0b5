import type { Vec3 } from '../../shapes/vector.js';

/**
 * A triangle mesh that can change: half-edges 3t, 3t + 1, 3t + 2 of triangle t run from its corners, each knowing its
 * twin in the neighbour (-1 at a rim). Removed triangles have corner -1 and stay as holes in the arrays.
 */
export class FlexMesh {
  /** xyz [m] per vertex. */
  readonly at: number[] = [];
  /** Vertex a half-edge starts from. */
  readonly org: number[] = [];
  readonly twin: number[] = [];
  /** 1 where a half-edge lies on a sharp edge or rim; set on both twins. */
  readonly sharp: number[] = [];
  /** What surface a triangle belongs to. */
  readonly label: number[] = [];
  /** Some half-edge leaving each vertex, -1 once removed. */
  readonly out: number[] = [];
  /** Vertices and triangles that must stay as they are. */
  readonly locked: boolean[] = [];

  /** From indexed triangles; `label` per triangle. Edges between labels and rims become sharp. */
  constructor(vertices: ArrayLike<number>, triangles: ArrayLike<number>, label: ArrayLike<number>) {
    for (let i = 0; i < vertices.length; i++) this.at.push(vertices[i]!);
    for (let i = 0; i < triangles.length; i++) this.org.push(triangles[i]!);
    for (let t = 0; t < label.length; t++) this.label.push(label[t]!);
    this.pair();
    this.separateFans();
    for (let h = 0; h < this.org.length; h++) {
      const other = this.twin[h]!;
      this.sharp.push(other < 0 || this.label[tri(h)] !== this.label[tri(other)] ? 1 : 0);
    }
    for (let v = 0; v < this.out.length; v++) this.locked.push(false);
  }

  private pair(): void {
    const count = this.at.length / 3;
    const open = new Map<number, number>();
    this.twin.length = this.org.length;
    this.twin.fill(-1);
    for (let h = 0; h < this.org.length; h++) {
      const [a, b] = [this.org[h]!, this.org[next(h)]!];
      const other = open.get(b * count + a);
      if (other !== undefined && this.twin[other] === -1) {
        this.twin[h] = other;
        this.twin[other] = h;
        open.delete(b * count + a);
      } else open.set(a * count + b, h);
    }
  }

  /** Gives each fan of triangles its own vertex, so that going round a vertex sees all of its triangles. */
  private separateFans(): void {
    const seen = new Uint8Array(this.org.length);
    const taken = new Uint8Array(this.at.length / 3);
    this.out.length = this.at.length / 3;
    this.out.fill(-1);
    for (let h = 0; h < this.org.length; h++) {
      if (seen[h]) continue;
      const fan = this.fanFrom(h);
      let v = this.org[h]!;
      if (taken[v]) {
        this.at.push(this.at[3 * v]!, this.at[3 * v + 1]!, this.at[3 * v + 2]!);
        v = this.out.push(-1) - 1;
      } else taken[v] = 1;
      for (const g of fan) {
        seen[g] = 1;
        this.org[g] = v;
      }
      this.out[v] = h;
    }
  }

  /** Half-edges leaving the start of h, one per triangle around it. */
  fanFrom(h: number): number[] {
    const fan = [h];
    for (let g = this.twin[before(h)]!; g >= 0 && g !== h; g = this.twin[before(g)]!) fan.push(g);
    if (this.twin[before(fan.at(-1)!)]! < 0)
      for (let t = this.twin[h]!; t >= 0; ) {
        const g = next(t);
        fan.push(g);
        t = this.twin[g]!;
      }
    return fan;
  }

  fan(v: number): number[] {
    return this.fanFrom(this.out[v]!);
  }

  point(v: number): Vec3 {
    return [this.at[3 * v]!, this.at[3 * v + 1]!, this.at[3 * v + 2]!];
  }

  move(v: number, p: Vec3): void {
    this.at[3 * v] = p[0];
    this.at[3 * v + 1] = p[1];
    this.at[3 * v + 2] = p[2];
  }

  alive(h: number): boolean {
    return this.org[h]! >= 0;
  }

  /** Vertices next to v. */
  around(v: number): number[] {
    const found = new Set<number>();
    for (const h of this.fan(v)) {
      found.add(this.org[next(h)]!);
      found.add(this.org[before(h)]!);
    }
    return [...found];
  }

  /** Sharp edges at v, as the vertices at their other ends. */
  sharpAround(v: number): number[] {
    const found = new Set<number>();
    for (const h of this.fan(v)) {
      if (this.sharp[h]) found.add(this.org[next(h)]!);
      if (this.sharp[before(h)]) found.add(this.org[before(h)]!);
    }
    return [...found];
  }

  labelsAround(v: number): number[] {
    return [...new Set(this.fan(v).map((h) => this.label[tri(h)]!))];
  }

  private link(a: number, b: number): void {
    if (a >= 0) this.twin[a] = b;
    if (b >= 0) this.twin[b] = a;
  }

  /** Puts a vertex at p on edge h and cuts its triangles in two; returns the vertex. */
  split(h: number, p: Vec3): number {
    const m = this.out.push(-1) - 1;
    this.at.push(...p);
    this.locked.push(false);
    const t = this.twin[h]!;
    const near = this.halve(h, m);
    if (t >= 0) {
      const far = this.halve(t, m);
      // h now runs a-m and near m-b; t runs b-m and far m-a.
      this.link(h, far);
      this.link(t, near);
    } else this.twin[near] = -1;
    this.out[m] = near;
    return m;
  }

  /** Cuts the triangle of h = (a, b, c) into (a, m, c) and a new (m, b, c); returns the new half-edge m-b. */
  private halve(h: number, m: number): number {
    const [hn, hp] = [next(h), before(h)];
    const [b, c] = [this.org[hn]!, this.org[hp]!];
    const n = this.org.length;
    this.org.push(m, b, c);
    this.twin.push(-1, -1, -1);
    this.sharp.push(this.sharp[h]!, this.sharp[hn]!, 0);
    this.label.push(this.label[tri(h)]!);
    this.link(n + 1, this.twin[hn]!);
    this.org[hn] = m;
    this.sharp[hn] = 0;
    this.link(hn, n + 2);
    if (this.out[b] === hn) this.out[b] = n + 1;
    return n;
  }

  /** Whether merging the start of h into its end keeps a proper surface. */
  mayCollapse(h: number): boolean {
    const [a, b] = [this.org[h]!, this.org[next(h)]!];
    const t = this.twin[h]!;
    const c = this.org[before(h)]!;
    const d = t >= 0 ? this.org[before(t)]! : -1;
    const near = new Set(this.around(b));
    for (const v of this.around(a)) if (near.has(v) && v !== c && v !== d) return false;
    if (t < 0) return this.valence(c) > 2;
    // Two rims must not be pinched together, and no triangle may fold onto its neighbour.
    if (this.onRim(a) && this.onRim(b)) return false;
    return (
      c !== d &&
      this.valence(c) > 3 - (this.onRim(c) ? 1 : 0) &&
      this.valence(d) > 3 - (this.onRim(d) ? 1 : 0)
    );
  }

  private valence(v: number): number {
    return this.around(v).length;
  }

  onRim(v: number): boolean {
    return this.fan(v).some((h) => this.twin[h]! < 0 || this.twin[before(h)]! < 0);
  }

  /** Merges the start of h into its end. Only after `mayCollapse`. */
  collapse(h: number): void {
    const [a, b] = [this.org[h]!, this.org[next(h)]!];
    const fan = this.fan(a);
    const t = this.twin[h]!;
    for (const g of fan) this.org[g] = b;
    this.remove(h);
    if (t >= 0) this.remove(t);
    this.out[a] = -1;
    if (this.out[b]! >= 0 && this.alive(this.out[b]!)) return;
    this.out[b] = fan.find((g) => this.alive(g)) ?? -1;
  }

  /** Takes out the triangle of h, joining its two other sides; sharpness survives. */
  private remove(h: number): void {
    const [hn, hp] = [next(h), before(h)];
    const [outer, inner] = [this.twin[hn]!, this.twin[hp]!];
    const sharp = this.sharp[hn]! | this.sharp[hp]!;
    if (outer >= 0) this.sharp[outer] = sharp;
    if (inner >= 0) this.sharp[inner] = sharp;
    this.link(outer, inner);
    // Vertices that left through this triangle leave through a neighbour now.
    const [b, c] = [this.org[hn]!, this.org[hp]!];
    if (tri(this.out[c]!) === tri(h)) this.out[c] = outer >= 0 ? outer : inner >= 0 ? next(inner) : -1;
    if (tri(this.out[b]!) === tri(h)) this.out[b] = inner >= 0 ? inner : outer >= 0 ? next(outer) : -1;
    for (const g of [h, hn, hp]) {
      this.org[g] = -1;
      this.twin[g] = -1;
    }
  }

  /** Turns edge h = (a, b) between (a, b, c) and (b, a, d) into (c, d). False where that edge is there already. */
  flip(h: number): boolean {
    const t = this.twin[h]!;
    const [hn, hp, tn, tp] = [next(h), before(h), next(t), before(t)];
    const [a, b, c, d] = [this.org[h]!, this.org[t]!, this.org[hp]!, this.org[tp]!];
    if (c === d || this.around(c).includes(d)) return false;
    const [bc, ad] = [this.twin[hn]!, this.twin[tn]!];
    const [sharpBc, sharpAd] = [this.sharp[hn]!, this.sharp[tn]!];
    // (a, b, c) becomes (a, d, c): h = a-d, hn = d-c, hp = c-a. (b, a, d) becomes (b, c, d).
    this.org[hn] = d;
    this.org[tn] = c;
    this.link(h, ad);
    this.link(t, bc);
    this.link(hn, tn);
    this.sharp[h] = sharpAd;
    this.sharp[t] = sharpBc;
    this.sharp[hn] = 0;
    this.sharp[tn] = 0;
    this.out[a] = h;
    this.out[b] = t;
    this.out[c] = hp;
    this.out[d] = tp;
    return true;
  }

  /** Numbers of the living triangles. */
  living(): number[] {
    const found: number[] = [];
    for (let t = 0; t < this.label.length; t++) if (this.org[3 * t]! >= 0) found.push(t);
    return found;
  }
}

export const tri = (h: number): number => (h / 3) | 0;
export const next = (h: number): number => (h % 3 === 2 ? h - 2 : h + 1);
export const before = (h: number): number => (h % 3 === 0 ? h + 2 : h - 1);
