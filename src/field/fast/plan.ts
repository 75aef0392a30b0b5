import * as L from '../wasm/layout.js';
import { Block } from './block.js';
import type { Crew } from './crew.js';
import { groupTargets } from './groups.js';
import { layInto, layLeaves, layTransfers } from './lay.js';
import { findInteractions } from './lists.js';
import { type Tables, tablesFor } from './tables.js';
import { buildOctree, type Octree } from './tree.js';

/** Where charges sit: points and, when there is a mirror, their images behind it. */
export interface Sources {
  /** xyz [m]. */
  position: Float64Array;
  /** Unit normals (mirrored for images). */
  normal: Float64Array;
  /** Number of the cloud's point each source stands for. */
  point: Int32Array;
  /** Number of points in the cloud. */
  points: number;
}

export interface PlanSettings {
  /** Order of the expansions. */
  order: number;
  /** Points of a kind above which a box is divided. */
  capacity: number;
  gradient: boolean;
}

/** Everything that depends on where the points are, laid out in the crew's memory. */
export interface Plan {
  readonly address: number;
  readonly bytes: number;
  readonly gradient: boolean;
  readonly targets: number;
  /** Addresses of what changes with every application. */
  readonly charge: number;
  readonly dipole: number;
  readonly scale: number;
  readonly sum: number;
  readonly local: number;
  readonly localBytes: number;
  /** Target (user's number, -1 for padding) in each place of the sums. */
  readonly targetOrder: Int32Array;
  /** Entries of each list, with bounds by level where levels depend on each other. */
  readonly sourceCount: number;
  readonly spread: number;
  readonly lift: Int32Array;
  readonly transferTasks: number;
  readonly into: number;
  readonly lower: Int32Array;
  readonly leaves: number;
}

export function makePlan(crew: Crew, sources: Sources, targets: Float64Array, settings: PlanSettings): Plan {
  const { order, capacity, gradient } = settings;
  const terms = (order + 1) ** 2;
  const tree = buildOctree(sources.position, targets, capacity);
  const groups = groupTargets(tree, targets);
  const found = findInteractions(tree, {
    pairs: Math.round(0.06 * terms * terms),
    points: Math.round(0.5 * terms),
    far: !gradient,
  });
  const expansions = found.transfer.length + found.into.length + found.far.length > 0;
  const tables = expansions ? tablesFor(crew.arena, order) : undefined;

  const block = new Block();
  const n = sources.points;
  for (const [word, size] of [
    [L.CHARGE, n],
    [L.DIPOLE, n],
    [L.SCALE, 1],
  ])
    block.room(word, 8 * size);
  layPoints(block, tree, sources, targets, gradient);
  layBoxes(block, tree, tables);
  const levels = layLevels(block, tree, found, expansions);
  const transferTasks = layTransfers(block, tree, found.transfer);
  const into = layInto(block, tree, found.into);
  layLeaves(block, tree, groups, found.near, found.far, levels.hasLocal);

  const address = block.place(crew.arena, tables);
  const at = (word: number): number => block.address(word);
  return {
    address,
    bytes: block.bytes,
    gradient,
    targets: targets.length / 3,
    charge: at(L.CHARGE),
    dipole: at(L.DIPOLE),
    scale: at(L.SCALE),
    sum: at(L.SUM),
    local: at(L.LOCAL),
    localBytes: tables ? tree.count * tables.stride * 4 : 0,
    targetOrder: tree.targets.order,
    sourceCount: tree.sources.order.length,
    spread: levels.spread,
    lift: levels.lift,
    transferTasks,
    into,
    lower: levels.lower,
    leaves: groups.leaves.length,
  };
}

function layPoints(
  block: Block,
  tree: Octree,
  sources: Sources,
  targets: Float64Array,
  gradient: boolean,
): void {
  const s = tree.sources.order;
  const point = new Int32Array(s.length).fill(-1);
  const normal = new Float32Array(3 * s.length);
  for (let i = 0; i < s.length; i++) {
    if (s[i] < 0) continue;
    point[i] = sources.point[s[i]];
    for (let c = 0; c < 3; c++) normal[c * s.length + i] = sources.normal[3 * s[i] + c];
  }
  block.put(L.SOURCES, spreadOut(s, sources.position));
  block.count(L.SOURCE_COUNT, s.length);
  block.put(L.SOURCE_POINT, point);
  block.put(L.SOURCE_NORMAL, normal);
  block.room(L.MOMENT, 16 * s.length);
  const t = tree.targets.order;
  block.put(L.TARGETS, spreadOut(t, targets));
  block.count(L.TARGET_COUNT, t.length);
  block.room(L.SUM, 8 * t.length * (gradient ? 4 : 1));
  block.put(L.SOURCE_START, tree.sources.start);
  block.put(L.SOURCE_END, tree.sources.end);
}

/** Coordinates [3][n] in tree order; padding repeats the point before it. */
function spreadOut(order: Int32Array, position: Float64Array): Float64Array {
  const n = order.length;
  const out = new Float64Array(3 * n);
  let last = 0;
  for (let i = 0; i < n; i++) {
    if (order[i] >= 0) last = order[i];
    for (let c = 0; c < 3; c++) out[c * n + i] = position[3 * last + c];
  }
  return out;
}

function layBoxes(block: Block, tree: Octree, tables: Tables | undefined): void {
  block.put(L.BOX, tree.place);
  block.put(L.PARENT, tree.parent);
  block.put(L.OCTANT, tree.octant);
  block.put(L.CHILD, tree.child);
  block.put(L.CHILDREN, tree.children);
  const bytes = tables ? tree.count * tables.stride * 4 : 0;
  block.room(L.MULTIPOLE, bytes);
  block.room(L.LOCAL, bytes);
}

interface Levels {
  spread: number;
  /** Bounds in the lift list, deepest level first; in the lower list, shallowest first. */
  lift: Int32Array;
  lower: Int32Array;
  /** 1 for boxes with a local expansion, of their own or from above. */
  hasLocal: Uint8Array;
}

function layLevels(
  block: Block,
  tree: Octree,
  found: { transfer: Int32Array; into: Int32Array },
  expansions: boolean,
): Levels {
  const { count, level, parent, children } = tree;
  const hasLocal = new Uint8Array(count);
  for (let e = 0; e < found.transfer.length; e += 4) hasLocal[found.transfer[e]] = 1;
  for (let e = 0; e < found.into.length; e += 2) hasLocal[found.into[e]] = 1;
  const spread: number[] = [];
  const lift: number[] = [];
  const lower: number[] = [];
  const liftBounds = [0];
  const lowerBounds = [0];
  for (let b = 0; b < count && expansions; b++) {
    if (b > 0 && level[b] !== level[b - 1]) lowerBounds.push(lower.length);
    if (b > 0 && tree.targets.held[b] > 0 && hasLocal[parent[b]]) {
      hasLocal[b] = 1;
      lower.push(b);
    }
    if (children[b] === 0 && tree.sources.held[b] > 0) spread.push(b);
  }
  for (let b = count - 1; b >= 0 && expansions; b--) {
    if (b < count - 1 && level[b] !== level[b + 1]) liftBounds.push(lift.length);
    if (children[b] > 0 && tree.sources.held[b] > 0) lift.push(b);
  }
  block.put(L.SPREAD_LIST, Int32Array.from(spread));
  block.put(L.LIFT_LIST, Int32Array.from(lift));
  block.put(L.LOWER_LIST, Int32Array.from(lower));
  return {
    spread: spread.length,
    lift: Int32Array.of(...liftBounds, lift.length),
    lower: Int32Array.of(...lowerBounds, lower.length),
    hasLocal,
  };
}
