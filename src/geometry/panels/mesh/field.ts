import { along, distance, dot, length, subtract, unit, type Vec3 } from '../../shapes/vector.js';
import type { Seed, Wanted } from './sizes.js';

/** Panels may be this much longer along an edge or rounding than across it. */
const STRETCH = 5;

interface Node {
  low: Vec3;
  high: Vec3;
  least: number;
  seeds?: Seed[];
  children?: [Node, Node];
}

/** Sizes between the seeds: each seed's size, growing with the distance from it; the smallest rules. */
export class SizeField {
  private readonly lines: Node | undefined;
  private readonly points: Node | undefined;

  constructor(
    seeds: Seed[],
    private readonly growth: number,
    private readonly largest: number,
    /** Everything this much larger, to meet a budget. */
    readonly factor = 1,
  ) {
    this.lines = grow(seeds.filter((s) => s.across));
    this.points = grow(seeds.filter((s) => !s.across));
  }

  /** Wanted sizes at a point with this unit normal. */
  at(p: Vec3, normal: Vec3): Wanted {
    const line = this.best(this.lines, p);
    const point = this.best(this.points, p);
    const round = Math.min(point.h, this.largest) * this.factor;
    const across = Math.min(line.h * this.factor, round);
    if (!line.seed?.across || across >= round) return { across: round, along: round, direction: normal };
    // Away from the seed the way to it is across; on it the seed itself knows.
    const way = subtract(p, line.seed.at);
    const flat = along(way, normal, -dot(way, normal));
    const own = along(line.seed.across, normal, -dot(line.seed.across, normal));
    // On a rounding the neighbour's direction is as good as any nearer one; seeds lie dense.
    const direction = length(flat) > 2 * line.seed.h ? unit(flat) : unit(own);
    return { across, along: Math.min(round, STRETCH * across), direction };
  }

  private best(root: Node | undefined, p: Vec3): { h: number; seed?: Seed } {
    let h = Number.POSITIVE_INFINITY;
    let seed: Seed | undefined;
    const stack = root ? [root] : [];
    while (stack.length > 0) {
      const node = stack.pop()!;
      if (this.bound(node, p) >= h) continue;
      if (node.seeds) {
        for (const s of node.seeds) {
          const value = s.h + this.growth * distance(s.at, p);
          if (value < h) {
            h = value;
            seed = s;
          }
        }
        continue;
      }
      const [a, b] = node.children!;
      if (this.bound(a, p) < this.bound(b, p)) stack.push(b, a);
      else stack.push(a, b);
    }
    return seed ? { h, seed } : { h };
  }

  private bound(node: Node, p: Vec3): number {
    let sum = 0;
    for (const d of [0, 1, 2] as const) {
      const out = Math.max(node.low[d] - p[d], 0, p[d] - node.high[d]);
      sum += out * out;
    }
    return node.least + this.growth * Math.sqrt(sum);
  }
}

function grow(seeds: Seed[]): Node | undefined {
  if (seeds.length === 0) return undefined;
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  let least = Infinity;
  for (const s of seeds) {
    least = Math.min(least, s.h);
    for (const d of [0, 1, 2] as const) {
      low[d] = Math.min(low[d]!, s.at[d]);
      high[d] = Math.max(high[d]!, s.at[d]);
    }
  }
  const node: Node = { low: low as unknown as Vec3, high: high as unknown as Vec3, least };
  if (seeds.length <= 8) return { ...node, seeds };
  const spread = low.map((x, d) => high[d]! - x);
  const axis = spread.indexOf(Math.max(...spread)) as 0 | 1 | 2;
  const sorted = [...seeds].sort((a, b) => a.at[axis] - b.at[axis]);
  const half = sorted.length >> 1;
  return { ...node, children: [grow(sorted.slice(0, half))!, grow(sorted.slice(half))!] };
}
