import type { PanelSurface } from '../geometry/index.js';
import { buildKdTree, type Watch } from '../numerics/index.js';
import type { Problem } from '../units/index.js';
import { type NearMaker, type NearSum, type Placed, plainNear } from './near.js';
import { findNear } from './near-list.js';
import { buildNodes, type Discretisation } from './nodes.js';
import type { OperatorMaker, PotentialOperator } from './operator.js';
import { orient } from './orient.js';
import { buildPanels } from './panels.js';

/** The geometric half of a field problem: what can be kept while kinetics, conductivity and drive change. */
export interface FieldGeometry {
  surface: PanelSurface;
  mirrorHeight?: number;
  unbounded?: boolean;
  /** Unknowns a panel, for all panels or one by one. */
  nodesPerPanel?: 1 | 3 | 6 | Uint8Array;
}

const tooLarge = (unknowns: number): Problem => ({
  code: 'too-large',
  path: 'surface',
  message: `The surface has ${unknowns} unknowns; there is not enough memory for them.`,
  hint: 'Ask for a lower quality, or leave out the finest details.',
});

const CANCELLED: Problem = { code: 'cancelled', path: '', message: 'Stopped by the user.' };

/** Share of the total area that may be off by more than this in solid angle before the surface is doubted. */
const ANGLE_DOUBT = 0.1;

/**
 * The boundary integral equation of one geometry. For the potential phi and its outward derivative q at the nodes
 *
 *   apply(q, phi) = (c + H) phi - G q,
 *
 * where the diagonal c is not 1/2 by decree but whatever makes a constant potential exact (0 in a vessel, 1 without one).
 * Everything in here depends on the geometry alone.
 */
export class Layers {
  /** Diagonal c. */
  readonly diagonal: Float64Array;
  /** Largest |c - 1/2|, and the share of the area where it exceeds 0.1: how well the shells close. */
  readonly worstAngle: number;
  readonly doubtfulArea: number;
  private readonly charge: Float64Array;
  private readonly dipole: Float64Array;
  private readonly minusQ: Float64Array;
  private readonly nearSum: NearSum;
  /** Applications so far, for the report. */
  applications = 0;

  private constructor(
    readonly d: Discretisation,
    readonly unbounded: boolean,
    readonly operator: PotentialOperator,
    /** Near corrections by (observer body, source body). */
    readonly near: ReadonlyMap<string, Placed>,
    maker: NearMaker,
  ) {
    this.nearSum = maker.sum(d, [...near.values()]);
    const { count } = d.nodes;
    this.charge = new Float64Array(count);
    this.dipole = new Float64Array(count);
    this.minusQ = new Float64Array(count);
    this.diagonal = new Float64Array(count);
    const one = new Float64Array(count).fill(1);
    const sum = new Float64Array(count);
    this.apply(null, one, sum);
    let worst = 0;
    let doubtful = 0;
    let area = 0;
    for (let i = 0; i < count; i++) {
      this.diagonal[i] = (unbounded ? 1 : 0) - sum[i];
      const off = Math.abs(this.diagonal[i] - (d.sheet[d.nodes.panel[i]] ? 1 : 0.5));
      worst = Math.max(worst, off);
      area += d.nodes.weight[i];
      if (off > ANGLE_DOUBT) doubtful += d.nodes.weight[i];
    }
    this.worstAngle = worst;
    this.doubtfulArea = doubtful / area;
  }

  /** Discretises a geometry. Problems are about the surface (open, one-sided, in pieces), or `cancelled`. */
  static build(
    geometry: FieldGeometry,
    makeOperator: OperatorMaker,
    watch: Watch,
    kept?: { from: Layers; changed: readonly number[] },
  ): { layers: Layers | null; problems: Problem[] } {
    const panels = buildPanels(geometry.surface);
    const unbounded = geometry.unbounded === true;
    const { sign, sheet, problems } = orient(panels, geometry.mirrorHeight, unbounded);
    if (problems.length > 0) return { layers: null, problems };
    const perPanel = new Uint8Array(panels.count);
    const wanted = geometry.nodesPerPanel ?? 3;
    for (let p = 0; p < panels.count; p++)
      perPanel[p] = typeof wanted === 'number' ? wanted : wanted[panels.origin[p]];
    const nodes = buildNodes(panels, perPanel, sign, sheet, geometry.mirrorHeight);
    const d: Discretisation = { panels, nodes, perPanel, sign, sheet };
    const near = new Map<string, Placed>();
    const maker = makeOperator.near ?? plainNear;
    const bodies = panels.bodyStart.length - 1;
    const changed = new Set(kept?.changed.filter((b) => differs(kept.from.d, d, b)));
    const same = kept && kept.from.d.nodes.mirrorHeight === nodes.mirrorHeight ? kept.from.near : undefined;
    const giveUp = (problem: Problem) => {
      for (const [key, { block }] of near) if (block !== kept?.from.near.get(key)?.block) block.release?.();
      return { layers: null, problems: [problem] };
    };
    try {
      for (let a = 0; a < bodies; a++) {
        watch.report(a / bodies, 'near integrals');
        const tree = buildKdTree(nodes.position, nodes.bodyStart[a], nodes.bodyStart[a + 1], 12);
        for (let b = 0; b < bodies; b++) {
          if (watch.cancelled()) return giveUp(CANCELLED);
          const key = `${a}/${b}`;
          const old = changed.has(a) || changed.has(b) ? undefined : same?.get(key);
          near.set(
            key,
            old ?? { observers: a, sources: b, block: maker.build(d, findNear(d, tree, a, b), a, b) },
          );
        }
      }
      const operator = kept?.from.operator.rebuilt?.(nodes, kept.changed) ?? makeOperator(nodes);
      const layers = new Layers(d, unbounded, operator, near, maker);
      kept?.from.handOver(layers);
      return { layers, problems: [] };
    } catch (error) {
      // What engines throw when there is no more memory to be had, be it for arrays or for the kernels.
      if (error instanceof RangeError) return giveUp(tooLarge(nodes.count));
      throw error;
    }
  }

  /** Gives back what the layers that replace these do not keep. */
  private handOver(next: Layers): void {
    this.nearSum.release?.();
    for (const [key, { block }] of this.near) if (next.near.get(key)?.block !== block) block.release?.();
  }

  /** Gives back threads and large buffers; the layers must not be used afterwards. */
  release(): void {
    this.operator.release?.();
    this.nearSum.release?.();
    for (const { block } of this.near.values()) block.release?.();
  }

  /** out = (c + H) phi - G q; `null` stands for zeros. Lengths: count of nodes. Units [V/m], [V], [V]. */
  apply(q: Float64Array | null, phi: Float64Array | null, out: Float64Array): void {
    const { charge, dipole, minusQ, d } = this;
    const { weight, panel, count } = d.nodes;
    for (let i = 0; i < count; i++) {
      const flow = q ? -q[i] : 0;
      minusQ[i] = flow;
      charge[i] = flow * weight[i];
      dipole[i] = phi && d.sheet[panel[i]] === 0 ? phi[i] * weight[i] : 0;
    }
    this.operator.apply(charge, phi ? dipole : null, out);
    this.nearSum.add(minusQ, phi, out);
    if (phi) for (let i = 0; i < count; i++) out[i] += this.diagonal[i] * phi[i];
    this.applications++;
  }
}

/** Whether a body that was meshed anew came out different: a mesher may give the same panels again. */
function differs(before: Discretisation, after: Discretisation, body: number): boolean {
  const [a0, a1] = [before.panels.bodyStart[body], before.panels.bodyStart[body + 1]];
  const [b0, b1] = [after.panels.bodyStart[body], after.panels.bodyStart[body + 1]];
  if (a1 - a0 !== b1 - b0 || b1 === undefined) return true;
  for (let k = 0; k < b1 - b0; k++)
    if (
      before.perPanel[a0 + k] !== after.perPanel[b0 + k] ||
      before.sign[a0 + k] !== after.sign[b0 + k] ||
      before.sheet[a0 + k] !== after.sheet[b0 + k]
    )
      return true;
  for (let k = 0; k < 18 * (b1 - b0); k++)
    if (before.panels.coef[18 * a0 + k] !== after.panels.coef[18 * b0 + k]) return true;
  return false;
}
