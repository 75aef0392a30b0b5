import {
  buildKdTree,
  eachWithin,
  factorLu,
  type KdTree,
  type LuFactors,
  solveLu,
} from '../numerics/index.js';
import type { Layers } from './layers.js';
import type { System } from './system.js';

const INV_4PI = 1 / (4 * Math.PI);

/**
 * Compact clusters of nodes and the blocks of the layers within each, near corrections and mirror images included:
 * geometry alone, so they are kept while kinetics change. Each cluster is solved together with a seam of nodes around
 * it, whose solution is then thrown away (restricted additive Schwarz: X.-C. Cai, M. Sarkis, SIAM J. Sci. Comput. 21
 * (1999) 792): without the seam the borders of the clusters are what the iteration spends its steps on.
 */
export interface Clusters {
  /** Nodes of each cluster, then those of its seam. */
  members: Int32Array[];
  /** How many of them are the cluster's own. */
  own: Int32Array;
  /** Row-major blocks of G and of c + H, single precision: a preconditioner needs no more. */
  single: Float32Array[];
  double: Float32Array[];
}

/**
 * @param size most nodes a cluster
 * @param seam how wide its seam is, as a share of the cluster's radius; it has at most as many nodes as the cluster
 */
export function buildClusters(layers: Layers, size: number, seam: number): Clusters {
  const { nodes } = layers.d;
  const tree = buildKdTree(nodes.position, 0, nodes.count, size);
  const clusters: Clusters = { members: [], own: new Int32Array(0), single: [], double: [] };
  const own: number[] = [];
  const rows = nearRows(layers);
  const slot = new Int32Array(nodes.count).fill(-1);
  for (let box = 0; box < tree.boxes; box++) {
    if (tree.left[box] >= 0) continue;
    const core = tree.order.subarray(tree.first[box], tree.last[box]);
    const members = withSeam(layers, tree, core, seam);
    for (let k = 0; k < members.length; k++) slot[members[k]] = k;
    const { single, double } = pointBlock(layers, members);
    addNear(layers, rows, members, slot, single, double);
    own.push(core.length);
    clusters.members.push(members);
    clusters.single.push(single);
    clusters.double.push(double);
    for (let k = 0; k < members.length; k++) slot[members[k]] = -1;
  }
  clusters.own = Int32Array.from(own);
  return clusters;
}

/** The nodes of a cluster, followed by those within its seam, the nearest first. */
function withSeam(layers: Layers, tree: KdTree, core: Int32Array, seam: number): Int32Array {
  const { position } = layers.d.nodes;
  const n = core.length;
  const middle = [0, 1, 2].map((d) => core.reduce((sum, i) => sum + position[3 * i + d], 0) / n);
  const away = (i: number): number => {
    const dx = position[3 * i] - middle[0];
    const dy = position[3 * i + 1] - middle[1];
    const dz = position[3 * i + 2] - middle[2];
    return dx * dx + dy * dy + dz * dz;
  };
  const radius = Math.sqrt(core.reduce((most, i) => Math.max(most, away(i)), 0));
  const around: number[] = [];
  eachWithin(tree, position, middle[0], middle[1], middle[2], (1 + seam) * radius, (i) => around.push(i));
  const inside = new Set(core);
  const others = around.filter((i) => !inside.has(i));
  if (others.length > n) {
    const distance = Float64Array.from(others, away);
    const limit = distance.slice().sort()[n];
    return Int32Array.of(...core, ...others.filter((_, k) => distance[k] < limit));
  }
  return Int32Array.of(...core, ...others);
}

/** The rows of near corrections of each observing body. */
interface NearRows {
  rowStart: Int32Array;
  rowPanel: Int32Array;
  rowValue: Int32Array;
  values: Float32Array;
  firstPanel: number;
}

function nearRows({ d, near }: Layers): NearRows[][] {
  const rows: NearRows[][] = Array.from({ length: d.panels.bodyStart.length - 1 }, () => []);
  for (const { block, observers, sources } of near.values())
    if (block.list.rowPanel.length > 0)
      rows[observers].push({
        ...block.list,
        values: block.values(),
        firstPanel: d.panels.bodyStart[sources],
      });
  return rows;
}

/** Adds the near corrections between the members, whose numbers within the cluster stand in `slot` (-1: not of it). */
function addNear(
  { d }: Layers,
  rows: NearRows[][],
  members: Int32Array,
  slot: Int32Array,
  single: Float32Array,
  double: Float32Array,
): void {
  const { start, panel } = d.nodes;
  const m = members.length;
  for (let r = 0; r < m; r++) {
    const body = d.panels.body[panel[members[r]]];
    const row = members[r] - d.nodes.bodyStart[body];
    for (const { rowStart, rowPanel, rowValue, values, firstPanel } of rows[body]) {
      let at = rowValue[row];
      for (let e = rowStart[row]; e < rowStart[row + 1]; e++) {
        const p = firstPanel + rowPanel[e];
        const node = start[p];
        const count = d.perPanel[p];
        for (let n = 0; n < count; n++) {
          const c = slot[node + n];
          if (c < 0) continue;
          single[r * m + c] += values[at + n];
          double[r * m + c] += values[at + count + n];
        }
        at += 2 * count;
      }
    }
  }
}

/** Point-to-point entries within a cluster, and the diagonal c. */
function pointBlock(layers: Layers, members: Int32Array): { single: Float32Array; double: Float32Array } {
  const { nodes, sheet } = layers.d;
  const { position, normal, weight, mirrorHeight, panel } = nodes;
  const m = members.length;
  const single = new Float32Array(m * m);
  const double = new Float32Array(m * m);
  const images = mirrorHeight !== undefined && feelsImages(layers, members, mirrorHeight) ? 2 : 1;
  for (let r = 0; r < m; r++) {
    const i = members[r];
    for (let c = 0; c < m; c++) {
      const j = members[c];
      const dx = position[3 * i] - position[3 * j];
      const dy = position[3 * i + 1] - position[3 * j + 1];
      const dipole = sheet[panel[j]] ? 0 : 1;
      for (let image = 0; image < images; image++) {
        if (image === 0 && i === j) continue;
        const z = image === 0 ? position[3 * i + 2] : 2 * mirrorHeight! - position[3 * i + 2];
        const dz = z - position[3 * j + 2];
        const inv2 = 1 / (dx * dx + dy * dy + dz * dz);
        const g = Math.sqrt(inv2) * weight[j] * INV_4PI;
        single[r * m + c] += g;
        double[r * m + c] +=
          dipole * g * inv2 * (normal[3 * j] * dx + normal[3 * j + 1] * dy + normal[3 * j + 2] * dz);
      }
    }
    double[r * m + r] += layers.diagonal[i];
  }
  return { single, double };
}

/** Whether a cluster is so near the mirror that its own image counts, for a preconditioner. */
function feelsImages({ d }: Layers, members: Int32Array, mirrorHeight: number): boolean {
  const { position } = d.nodes;
  let closest = Number.POSITIVE_INFINITY;
  let size = 0;
  for (const i of members) {
    closest = Math.min(closest, mirrorHeight - position[3 * i + 2]);
    for (let k = 0; k < 3; k++)
      size = Math.max(size, Math.abs(position[3 * i + k] - position[3 * members[0] + k]));
  }
  return closest < 2 * size;
}

/**
 * Block-diagonal solves with the tangent's own entries, and the border (constant, free potentials, flux rows) eliminated
 * exactly against them: with it on the right, every iterate satisfies the flux rows as well as the residual says.
 */
export class Preconditioner {
  private readonly factors: (LuFactors | null)[] = [];
  private readonly columns: Float64Array[] = [];
  private readonly solvedColumns: Float64Array[] = [];
  private readonly schur: LuFactors | null;
  private readonly gathered: Float64Array;

  /** @param borderColumns (c + H) times the indicator of each free conductor, as `conductorColumn` gives them */
  constructor(
    private readonly system: System,
    private readonly clusters: Clusters,
    borderColumns: readonly Float64Array[],
  ) {
    const most = clusters.members.reduce((size, m) => Math.max(size, m.length), 0);
    this.gathered = new Float64Array(most);
    for (let c = 0; c < clusters.members.length; c++) this.factors.push(this.factor(c));
    const n = system.nodeCount;
    if (system.hasConstant) this.columns.push(new Float64Array(n).fill(1));
    this.columns.push(...borderColumns);
    for (const column of this.columns) {
      const solved = new Float64Array(column.length);
      this.solveBlocks(column, solved);
      this.solvedColumns.push(solved);
    }
    const b = this.columns.length;
    const schur = new Float64Array(b * b);
    this.solvedColumns.forEach((column, j) => {
      this.rows(column).forEach((v, i) => {
        schur[i * b + j] = v;
      });
    });
    this.schur = b > 0 ? factorLu(schur, b) : null;
  }

  private factor(c: number): LuFactors | null {
    const { alpha, beta, owner } = this.system;
    const members = this.clusters.members[c];
    const single = this.clusters.single[c];
    const double = this.clusters.double[c];
    const m = members.length;
    const a = new Float64Array(m * m);
    for (let k = 0; k < m; k++) {
      const j = members[k];
      const s = owner[j] < 0 ? 0 : -beta[j];
      const d = owner[j] < 0 ? 1 : -alpha[j];
      for (let r = 0; r < m; r++) a[r * m + k] = s * single[r * m + k] + d * double[r * m + k];
    }
    return factorLu(a, m);
  }

  /** Flux rows of the border for unknowns of the nodes alone. */
  private rows(x: Float64Array): number[] {
    const { system } = this;
    const { weight } = system.layers.d.nodes;
    const { owner, beta, nodeCount } = system;
    const sums = new Float64Array(system.conductors.length);
    for (let i = 0; i < nodeCount; i++) if (owner[i] >= 0) sums[owner[i]] += weight[i] * beta[i] * x[i];
    const total = sums.reduce((a, v) => a + v, 0);
    return [...(system.hasConstant ? [total] : []), ...system.free.map((k) => sums[k])].map(
      (v) => v / system.scale,
    );
  }

  private solveBlocks(x: Float64Array, out: Float64Array): void {
    const { gathered, factors } = this;
    for (let c = 0; c < factors.length; c++) {
      const block = factors[c];
      const members = this.clusters.members[c];
      if (!block) {
        for (let k = 0; k < this.clusters.own[c]; k++) out[members[k]] = x[members[k]];
        continue;
      }
      for (let k = 0; k < members.length; k++) gathered[k] = x[members[k]];
      solveLu(block, gathered);
      for (let k = 0; k < this.clusters.own[c]; k++) out[members[k]] = gathered[k];
    }
  }

  apply(r: Float64Array, out: Float64Array): void {
    const n = this.system.nodeCount;
    this.solveBlocks(r, out);
    const b = this.columns.length;
    if (!this.schur) return;
    const border = Float64Array.from(this.rows(out), (v, k) => v - r[n + k]);
    solveLu(this.schur, border);
    for (let k = 0; k < b; k++) {
      const column = this.solvedColumns[k];
      for (let i = 0; i < n; i++) out[i] -= border[k] * column[i];
      out[n + k] = border[k];
    }
  }
}
