import { eachWithin, type KdTree } from '../numerics/index.js';
import { basisOf } from './basis.js';
import type { Discretisation } from './nodes.js';
import { ownPanel } from './own-panel.js';
import { PlanePanel } from './plane-panel.js';
import { Subdivision } from './subdivision.js';

/**
 * An observer within this many radii of a panel's centre is near to it, by the panel's number of nodes: the richer its
 * rule, the closer it may be used. Measured on the ring of docs/theory/field.md: halving what lies beyond changes the
 * resistance by 0.01 %, the quantiles by less than the panels themselves err.
 */
export const NEAR: Readonly<Record<number, number>> = { 1: 3, 3: 2.3, 6: 1.7 };

const INV_4PI = 1 / (4 * Math.PI);

/**
 * What must be added to the sums over points to make the integrals over near panels right, for observers in one body
 * and panels in another (or the same). Row and column structure: by source panel, then observer, then node of the panel.
 * Single precision holds the differences; it costs some 1e-7 of the integrals (checked in near.test.ts).
 */
export interface NearBlock {
  /** First panel of the source body; panel firstPanel + k has the observers [start[k], start[k + 1]). */
  firstPanel: number;
  start: Int32Array;
  /** Node number of each observer. */
  observer: Int32Array;
  /** Where the values of each panel begin in `single` and `double`. */
  value: Int32Array;
  /** Correction of the single layer, acting on q = dphi/dn [m], and of the double layer, acting on phi [1]. */
  single: Float32Array;
  double: Float32Array;
}

export function buildNearBlock(d: Discretisation, observers: KdTree, sourceBody: number): NearBlock {
  const first = d.panels.bodyStart[sourceBody];
  const last = d.panels.bodyStart[sourceBody + 1];
  const start = new Int32Array(last - first + 1);
  const value = new Int32Array(last - first + 1);
  const list = new ObserverList(d.nodes.count);
  for (let p = first; p < last; p++) {
    findObservers(d, observers, p, list);
    start[p - first + 1] = list.length;
    value[p - first + 1] = value[p - first] + (list.length - start[p - first]) * d.perPanel[p];
  }
  const block: NearBlock = {
    firstPanel: first,
    start,
    observer: list.node.slice(0, list.length),
    value,
    single: new Float32Array(value[last - first]),
    double: new Float32Array(value[last - first]),
  };
  const integrator = new PanelIntegrator(d);
  for (let p = first; p < last; p++) {
    integrator.begin(p);
    const count = d.perPanel[p];
    let at = value[p - first];
    for (let o = start[p - first]; o < start[p - first + 1]; o++, at += count) {
      integrator.correction(list.node[o], list.how[o]);
      for (let m = 0; m < count; m++) {
        block.single[at + m] = integrator.single[m];
        block.double[at + m] = integrator.double[m];
      }
    }
  }
  return block;
}

/** Observers of panel after panel, and how each is near: directly, by its mirror image, or both. */
class ObserverList {
  node = new Int32Array(1024);
  how = new Uint8Array(1024);
  length = 0;
  /** Where each node was last put, to find it again when its image is near too. */
  private readonly place: Int32Array;
  private panelStart = 0;

  constructor(nodes: number) {
    this.place = new Int32Array(nodes).fill(-1);
  }

  begin(): void {
    this.panelStart = this.length;
  }

  add(i: number, how: number): void {
    const known = this.place[i];
    if (known >= this.panelStart) {
      this.how[known] |= how;
      return;
    }
    if (this.length === this.node.length) {
      const node = new Int32Array(2 * this.length);
      const wider = new Uint8Array(2 * this.length);
      node.set(this.node);
      wider.set(this.how);
      this.node = node;
      this.how = wider;
    }
    this.place[i] = this.length;
    this.node[this.length] = i;
    this.how[this.length++] = how;
  }
}

const DIRECT = 1;
const MIRRORED = 2;

/** Appends the nodes near panel p, directly or by their mirror image. */
function findObservers(d: Discretisation, tree: KdTree, p: number, list: ObserverList): void {
  const { centre, radius } = d.panels;
  const { position, mirrorHeight } = d.nodes;
  const reach = NEAR[d.perPanel[p]] * radius[p];
  const [x, y, z] = [centre[3 * p], centre[3 * p + 1], centre[3 * p + 2]];
  list.begin();
  eachWithin(tree, position, x, y, z, reach, (i) => list.add(i, DIRECT));
  if (mirrorHeight === undefined || Math.abs(mirrorHeight - z) > reach) return;
  eachWithin(tree, position, x, y, 2 * mirrorHeight - z, reach, (i) => list.add(i, MIRRORED));
}

/** Integrates one panel for many observers. Results are per node of the panel: acting on q and on phi. */
export class PanelIntegrator {
  readonly single = new Float64Array(6);
  readonly double = new Float64Array(6);
  private readonly monomials = new Float64Array(12);
  private readonly pieces: Subdivision;
  private readonly plane = new PlanePanel();
  private p = -1;

  constructor(private readonly d: Discretisation) {
    this.pieces = new Subdivision(d.panels);
  }

  begin(p: number): void {
    this.p = p;
    if (this.d.panels.flat[p]) this.plane.begin(this.d, p);
    else this.pieces.begin(p, this.d.perPanel[p] < 6);
  }

  /** Exact integral less the sum over the panel's points, for node i as observer. */
  correction(i: number, how: number): void {
    const { nodes } = this.d;
    const { position } = nodes;
    this.single.fill(0);
    this.double.fill(0);
    const x = position[3 * i];
    const y = position[3 * i + 1];
    const z = position[3 * i + 2];
    if (how & DIRECT) {
      this.addIntegral(x, y, z, nodes.panel[i] === this.p ? i - nodes.start[this.p] : -1);
      this.subtractPoints(x, y, z, i);
    }
    if (how & MIRRORED) {
      const mirrored = 2 * nodes.mirrorHeight! - z;
      this.addIntegral(x, y, mirrored, -1);
      this.subtractPoints(x, y, mirrored, -1);
    }
  }

  /** Integral less points for any observer off the surface (a probe). */
  correctionAt(x: number, y: number, z: number): void {
    this.single.fill(0);
    this.double.fill(0);
    this.addIntegral(x, y, z, -1);
    this.subtractPoints(x, y, z, -1);
  }

  /** Adds the exact integrals; `own` is the number of the observer among the panel's own nodes, or -1. */
  addIntegral(x: number, y: number, z: number, own: number): void {
    const { d, p } = this;
    const count = d.perPanel[p] as 1 | 3 | 6;
    const faces = d.sheet[p] ? 2 : 1;
    if (d.panels.flat[p]) {
      this.plane.add(x, y, z, own >= 0, faces, this.single, this.double);
      return;
    }
    const basis = basisOf(count);
    const m = this.monomials;
    if (own >= 0) ownPanel(d.panels, p, basis.rule.s[own], basis.rule.t[own], m);
    else {
      m.fill(0);
      this.pieces.integrate(x, y, z, m);
    }
    const sign = faces === 2 ? 0 : d.sign[p] * INV_4PI;
    for (let k = 0; k < count; k++) {
      let g = 0;
      let h = 0;
      for (let j = 0; j < count; j++) {
        g += basis.coef[6 * k + j] * m[j];
        h += basis.coef[6 * k + j] * m[6 + j];
      }
      this.single[k] += g * INV_4PI * faces;
      this.double[k] += h * sign;
    }
  }

  private subtractPoints(x: number, y: number, z: number, skip: number): void {
    const { nodes, perPanel, sheet } = this.d;
    const dipoles = sheet[this.p] ? 0 : 1;
    const { position, normal, weight, start } = nodes;
    for (let k = 0; k < perPanel[this.p]; k++) {
      const j = start[this.p] + k;
      if (j === skip) continue;
      const dx = x - position[3 * j];
      const dy = y - position[3 * j + 1];
      const dz = z - position[3 * j + 2];
      const r2 = dx * dx + dy * dy + dz * dz;
      // Points that coincide do not act on each other in the sums either.
      if (r2 === 0) continue;
      const inv2 = 1 / r2;
      const inv = Math.sqrt(inv2) * weight[j] * INV_4PI;
      this.single[k] -= inv;
      this.double[k] -=
        dipoles * inv * inv2 * (normal[3 * j] * dx + normal[3 * j + 1] * dy + normal[3 * j + 2] * dz);
    }
  }
}

/** Adds the near corrections of one block to `out`: single q + double phi. */
export function applyNearBlock(
  block: NearBlock,
  nodeStart: Int32Array,
  q: Float64Array,
  phi: Float64Array | null,
  out: Float64Array,
): void {
  const { start, value, firstPanel } = block;
  for (let k = 0; k + 1 < start.length; k++) {
    const node = nodeStart[firstPanel + k];
    const count = nodeStart[firstPanel + k + 1] - node;
    let idle = true;
    for (let m = node; m < node + count; m++) if (q[m] !== 0) idle = false;
    // An insulator carries no flux, a fixed electrode a potential that does not change: half of the work falls away.
    if (!idle) addPanel(block.observer, start[k], start[k + 1], block.single, value[k], q, node, count, out);
    if (!phi) continue;
    idle = true;
    for (let m = node; m < node + count; m++) if (phi[m] !== 0) idle = false;
    if (!idle)
      addPanel(block.observer, start[k], start[k + 1], block.double, value[k], phi, node, count, out);
  }
}

/** out[observer] += row . x for the observers of one panel, unrolled by the number of nodes. */
function addPanel(
  observer: Int32Array,
  first: number,
  last: number,
  rows: Float32Array,
  at: number,
  x: Float64Array,
  node: number,
  count: number,
  out: Float64Array,
): void {
  const x0 = x[node];
  if (count === 1) {
    for (let o = first; o < last; o++, at++) out[observer[o]] += rows[at] * x0;
    return;
  }
  const x1 = x[node + 1];
  const x2 = x[node + 2];
  if (count === 3) {
    for (let o = first; o < last; o++, at += 3)
      out[observer[o]] += rows[at] * x0 + rows[at + 1] * x1 + rows[at + 2] * x2;
    return;
  }
  const x3 = x[node + 3];
  const x4 = x[node + 4];
  const x5 = x[node + 5];
  for (let o = first; o < last; o++, at += 6)
    out[observer[o]] +=
      rows[at] * x0 +
      rows[at + 1] * x1 +
      rows[at + 2] * x2 +
      rows[at + 3] * x3 +
      rows[at + 4] * x4 +
      rows[at + 5] * x5;
}
