import type { Watch } from '../../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { cutBelow } from '../panels/cut.js';
import { between, ontoAll } from '../panels/project.js';
import { FlexMesh, next, tri } from '../panels/remesh/flex.js';
import { curved, mend } from '../panels/remesh/mend.js';
import { remesh, splitOnly } from '../panels/remesh/remesh.js';
import { FINENESS, type Quality } from '../panels/size.js';
import { facets, type Skin } from '../panels/skin.js';
import type { Placed } from '../shapes/placed.js';
import type { Face } from '../shapes/solid.js';
import type { Vec3 } from '../shapes/vector.js';
import type { TriangleMesh } from '../surface.js';
import type { Booleans, Union } from './booleans.js';
import { structuredMetric, type Tile } from './near-metric.js';
import { wetPanels } from './wet.js';

/** Panels of several bodies that touch, as one piece of metal: which body and which of its faces each panel lies on. */
export interface Joined {
  skin: Skin;
  /** Position in the group of the body each panel belongs to. */
  member: Int32Array;
}

/** Panel size at a junction over volume / area of the thinner body, which is half the radius of a wire. */
const JUNCTION: Record<Quality, number> = { draft: 2.2, standard: 1.4, fine: 0.9 };

/**
 * Unites touching bodies of one lead. Their structured panels stay wherever the junction is far; around it the flat
 * triangles are refined, united, brought back onto the true surfaces and cut into graded panels.
 */
export function joinBodies(
  bodies: Placed[],
  gaps: ((p: Vec3) => number)[],
  quality: Quality,
  liquid: number | undefined,
  booleans: Booleans,
  watch: Watch,
): Outcome<Joined> {
  const junction = new Junction(bodies, quality);
  const skins = bodies.map((body, k) => wetPanels(body, quality, gaps[k]!, undefined));
  const refined = skins.map((skin, k) => junction.refine(skin, k));
  const united = booleans.union(refined.map((r) => r.mesh));
  if ('failed' in united) return refused(notJoined(united.failed));
  if (united.mesh.triangles.length === 0) return refused(notJoined('nothing is left'));
  const work = junction.gather(united, skins, refined);
  const status = remesh(work.mesh, {
    metric: structuredMetric(work.remade, (p, label) => junction.sizeAt(p, junction.memberOf(label))),
    project: (p, labels) => junction.project(p, labels),
    between: (a, b, t, labels) => junction.between(a, b, t, labels),
    rounds: 3,
    watch,
  });
  if (status === 'cancelled')
    return refused({ code: 'cancelled', path: '', message: 'Stopped before the panels were done.' });
  const whole = junction.skinOf(work);
  const wet =
    liquid === undefined
      ? whole
      : cutBelow(whole, junction.faces, { normal: [0, 0, 1], offset: liquid }, junction.tolerance);
  for (let i = 2; i < wet.nodes.length; i += 3)
    if (liquid !== undefined && Math.abs(wet.nodes[i]! - liquid) < 100 * junction.tolerance)
      wet.nodes[i] = liquid;
  const member = wet.face.map((f) => junction.memberOf(f));
  const face = wet.face.map((f, t) => f - junction.offsets[member[t]!]!);
  const warnings: Problem[] = work.remade.length === 0 ? [BARELY] : [];
  if (junction.folded > 0) warnings.push(foldedPanels(junction.folded));
  return done({ skin: { ...wet, face }, member }, warnings);
}

const notJoined = (why: string): Problem => ({
  code: 'bodies-not-joined',
  path: 'bodies',
  message: `Bodies that touch could not be made into one (${why}).`,
  hint: 'Push the hook a tenth of a millimetre deeper or move it a little along the part.',
});

const foldedPanels = (count: number): Problem => ({
  code: 'panels-folded',
  path: 'bodies',
  message: `${count} panels where bodies meet fold over themselves; the current just there is doubtful.`,
  hint: 'Move the hook a little along the part, or ask for a finer mesh.',
});

const BARELY: Problem = {
  code: 'barely-touching',
  path: 'bodies',
  message:
    'Two bodies of one lead only just touch; they are taken as one metal with a hairline gap between them.',
  hint: 'Push one a tenth of a millimetre into the other.',
};

/** One body made ready for the union: flat triangles, refined toward the others. */
interface Refined {
  mesh: TriangleMesh;
  label: number[];
  /** Structured panel each triangle came from, and whether it is that panel whole. */
  panel: Int32Array;
  whole: boolean[];
}

interface Gathered {
  mesh: FlexMesh;
  /** Structured panels that were touched, as corner triples with their label. */
  remade: Tile[];
  /** Known mid-side nodes by side. */
  mids: Map<number, Vec3>;
  /** Triangles that are untouched structured panels. */
  intact: boolean[];
}

class Junction {
  readonly faces: Face[] = [];
  readonly offsets: number[] = [];
  private readonly member: number[] = [];
  readonly tolerance: number;
  /** Panels that fold over themselves and could not be mended. */
  folded = 0;
  private readonly finest: number;
  private readonly growth: number;

  constructor(
    private readonly bodies: Placed[],
    quality: Quality,
  ) {
    bodies.forEach((body, k) => {
      this.offsets.push(this.faces.length);
      for (const face of body.faces) {
        this.faces.push(face);
        this.member.push(k);
      }
    });
    this.tolerance = Math.min(...bodies.map((b) => b.solid.tolerance));
    this.finest = JUNCTION[quality] * Math.min(...bodies.map((b) => b.solid.volume / b.solid.area));
    this.growth = Math.min(0.8, FINENESS[quality].growth);
  }

  readonly memberOf = (label: number): number => this.member[label]!;

  /** Wanted size at a point of one member: finest at the junction, growing with the distance to the other members. */
  sizeAt(p: Vec3, member: number): number {
    let least = Number.POSITIVE_INFINITY;
    this.bodies.forEach((body, k) => {
      if (k !== member) least = Math.min(least, Math.abs(body.distance(p)));
    });
    return this.finest + this.growth * least;
  }

  project(p: Vec3, labels: number[]): Vec3 {
    return ontoAll(
      p,
      labels.map((l) => (q: Vec3) => this.faces[l]!.closest(q)),
      this.tolerance,
    );
  }

  between(a: Vec3, b: Vec3, t: number, labels: number[]): Vec3 {
    return between(
      labels.map((l) => this.faces[l]!),
      a,
      b,
      t,
      this.tolerance,
    );
  }

  refine(skin: Skin, member: number): Refined {
    const flat = facets(skin);
    const mesh = new FlexMesh(
      flat.vertices,
      flat.triangles,
      skin.face.map((f) => f + this.offsets[member]!),
    );
    const origin = splitOnly(mesh, {
      size: (p) => this.sizeAt(p, member),
      between: (a, b, t, labels) => this.between(a, b, t, labels),
    });
    const uses = new Map<number, number>();
    for (const t of origin) uses.set(t, (uses.get(t) ?? 0) + 1);
    return {
      mesh: { vertices: Float64Array.from(mesh.at), triangles: Uint32Array.from(mesh.org) },
      label: mesh.label,
      panel: Int32Array.from(origin),
      whole: origin.map((t) => uses.get(t) === 1),
    };
  }

  /** The united triangles as a mesh to work on: untouched structured panels locked, the rest free. */
  gather(united: Union, skins: Skin[], refined: Refined[]): Gathered {
    const { source, triangle, vertex } = united;
    const { vertices, triangles } = united.mesh;
    const firsts: number[] = [];
    let count = 0;
    const uses = refined.map((r) => {
      firsts.push(count);
      count += r.mesh.vertices.length / 3;
      return new Int32Array(r.label.length);
    });
    for (const [t, s] of source.entries()) uses[s]![triangle[t]!]!++;
    const keep = shellsOfMetal(vertices, triangles);
    const labels: number[] = [];
    const corners: number[] = [];
    const intact: boolean[] = [];
    const touched = refined.map(() => new Set<number>());
    const mids = new Map<number, Vec3>();
    for (let t = 0; t < source.length; t++) {
      if (!keep[t]) continue;
      const [s, from] = [source[t]!, triangle[t]!];
      const body = refined[s]!;
      const own = [0, 1, 2].map((k) => triangles[3 * t + k]!);
      // The library may begin a triangle at another corner; where bodies coincide a corner may be the other body's.
      const places = own.map((v) =>
        [0, 1, 2].findIndex((i) => body.mesh.triangles[3 * from + i] === vertex[v]! - firsts[s]!),
      );
      const same = body.whole[from]! && uses[s]![from] === 1 && places.every((i) => i >= 0);
      if (same)
        own.forEach((v, k) => {
          const mid = nodeOf(skins[s]!, body.panel[from]!, 3 + places[k]!);
          mids.set(sideNumber(v, own[(k + 1) % 3]!), mid);
        });
      else touched[s]!.add(body.panel[from]!);
      labels.push(body.label[from]!);
      corners.push(...own);
      intact.push(same);
    }
    const mesh = new FlexMesh(vertices, corners, labels);
    intact.forEach((same, t) => {
      if (same) for (let k = 0; k < 3; k++) mesh.locked[mesh.org[3 * t + k]!] = true;
    });
    this.settle(mesh);
    const remade = touched.flatMap((panels, s) =>
      [...panels].map((panel) => ({
        corners: [0, 1, 2].map((k) => nodeOf(skins[s]!, panel, k)) as unknown as [Vec3, Vec3, Vec3],
        label: skins[s]!.face[panel]! + this.offsets[s]!,
        free: this.bodies[s]!.solid.freelyCut === true,
      })),
    );
    return { mesh, remade, mids, intact };
  }

  /** Brings every free vertex onto the true surfaces it belongs to. */
  private settle(mesh: FlexMesh): void {
    for (let v = 0; v < mesh.out.length; v++)
      if (mesh.out[v]! >= 0 && !mesh.locked[v])
        mesh.move(v, this.project(mesh.point(v), mesh.labelsAround(v)));
  }

  /** Curved panels over the finished triangles: mid-sides of untouched panels as they were, others on the surface. */
  skinOf({ mesh, mids, intact }: Gathered): Skin {
    const midOf = (h: number): Vec3 => {
      const [u, v] = [mesh.org[h]!, mesh.org[next(h)]!];
      const name = sideNumber(u, v);
      let mid = mids.get(name);
      if (mid) return mid;
      const twin = mesh.twin[h]!;
      const labels = [...new Set([mesh.label[tri(h)]!, mesh.label[tri(twin >= 0 ? twin : h)]!])];
      mid = this.between(mesh.point(u), mesh.point(v), 0.5, labels);
      mids.set(name, mid);
      return mid;
    };
    this.folded = mend(mesh, midOf, (a, b, t, labels) => this.between(a, b, t, labels), {
      only: mesh.living().filter((t) => !intact[t]),
    });
    return curved(mesh, midOf);
  }
}

const nodeOf = (skin: Skin, panel: number, k: number): Vec3 => {
  const i = 3 * skin.panels[6 * panel + k]!;
  return [skin.nodes[i]!, skin.nodes[i + 1]!, skin.nodes[i + 2]!];
};

/** One number for a side, whichever way round. Vertices stay far below 2^26. */
const sideNumber = (u: number, v: number): number => (u < v ? u * 0x4000000 + v : v * 0x4000000 + u);

/** Which triangles bound metal from outside: shells of negative volume are voids sealed inside, out of the liquid's reach. */
function shellsOfMetal(vertices: Float64Array, triangles: Uint32Array): boolean[] {
  const root = Int32Array.from({ length: vertices.length / 3 }, (_, v) => v);
  const find = (v: number): number => {
    let r = v;
    while (root[r] !== r) r = root[r]!;
    while (root[v] !== r) [v, root[v]] = [root[v]!, r];
    return r;
  };
  for (let t = 0; t < triangles.length; t += 3)
    for (const k of [1, 2]) root[find(triangles[t]!)] = find(triangles[t + k]!);
  const volume = new Map<number, number>();
  const at = (v: number, d: number): number => vertices[3 * v + d]!;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]!, triangles[t + 1]!, triangles[t + 2]!];
    const six =
      at(a, 0) * (at(b, 1) * at(c, 2) - at(b, 2) * at(c, 1)) +
      at(a, 1) * (at(b, 2) * at(c, 0) - at(b, 0) * at(c, 2)) +
      at(a, 2) * (at(b, 0) * at(c, 1) - at(b, 1) * at(c, 0));
    volume.set(find(a), (volume.get(find(a)) ?? 0) + six);
  }
  return Array.from({ length: triangles.length / 3 }, (_, t) => volume.get(find(triangles[3 * t]!))! > 0);
}
