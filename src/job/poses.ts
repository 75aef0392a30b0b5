import { unplace, type Vec3 } from '../geometry/index.js';
import { buildKdTree, nearestPoint, type Watch } from '../numerics/index.js';
import { done, type Outcome } from '../units/index.js';
import type { JobContext } from './context.js';
import type { Local } from './local.js';
import { placeJob } from './place.js';
import { type Case, type PlannedStep, type SolvedLevel, type SolvedStep, solveStep } from './plan.js';
import { prepareSetUp } from './set-up.js';

/**
 * The part turned on its hook during the run: every step becomes the sum over the poses, each for its share of the time.
 * Deposits are thin against everything that shapes the field, so growth adds. Where a place comes near burning is the
 * worst of its poses.
 */
export async function addPoses(
  c: Case,
  steps: SolvedStep[],
  plan: readonly PlannedStep[],
  context: JobContext,
  watch: Watch,
): Promise<Outcome<SolvedStep[]>> {
  const { poses } = c.job;
  if (!poses) return done(steps);
  const total = poses.reduce((sum, pose) => sum + pose.share, 0);
  const seen: { share: number; steps: SolvedStep[]; from: Int32Array }[] = [];
  for (const pose of poses) {
    const share = pose.share / total;
    if (pose.turn === 0) {
      seen.push({ share, steps, from: Int32Array.from(steps[0]!.growth.keys()) });
      continue;
    }
    const placed = placeJob(c.job, context.meshes, pose.turn);
    if (!placed.ok) return placed;
    const setUp = await prepareSetUp(
      c.job,
      c.chemistry,
      placed.value,
      c.setUp.domain.quality,
      context,
      watch,
    );
    if (!setUp.ok) return setUp;
    const turned: Case = { ...c, setUp: setUp.value };
    seen.push({ share, steps: plan.map((step) => solveStep(turned, step)), from: sameNodes(c, turned) });
  }
  return done(
    steps.map((step, k) => ({
      ...step,
      current: seen.reduce((sum, pose) => sum + pose.share * pose.steps[k]!.current, 0),
      cellVoltage: Math.max(...seen.map((pose) => pose.steps[k]!.cellVoltage)),
      growth: summed(seen.map((pose) => ({ ...pose, values: pose.steps[k]!.growth }))),
      levels: step.levels.map((level, l) =>
        merged(
          level,
          seen.map((p) => ({ ...p, level: p.steps[k]!.levels[l]! })),
        ),
      ),
    })),
  );
}

interface Seen {
  share: number;
  from: Int32Array;
}

const summed = (parts: (Seen & { values: Float64Array })[]): Float64Array => {
  const out = new Float64Array(parts[0]!.from.length);
  for (const { share, from, values } of parts)
    for (let i = 0; i < out.length; i++) if (from[i]! >= 0) out[i]! += share * values[from[i]!]!;
  return out;
};

function merged(level: SolvedLevel, parts: (Seen & { level: SolvedLevel })[]): SolvedLevel {
  const sum = (key: keyof Local) => summed(parts.map((p) => ({ ...p, values: p.level.local[key] })));
  const most = new Float64Array(level.local.limitFraction.length);
  for (const { from, level: l } of parts)
    for (let i = 0; i < most.length; i++)
      if (from[i]! >= 0) most[i] = Math.max(most[i]!, l.local.limitFraction[from[i]!]!);
  return {
    ...level,
    local: {
      growth: sum('growth'),
      currentDensity: sum('currentDensity'),
      metal: sum('metal'),
      hydrogen: sum('hydrogen'),
      limitFraction: most,
      surfacePH: level.local.surfacePH,
    },
  };
}

/** For each node of the work in the first pose, the node of another pose nearest to it on the part; -1 elsewhere. */
function sameNodes(first: Case, other: Case): Int32Array {
  const [a, b] = [onPart(first), onPart(other)];
  const tree = buildKdTree(b.points, 0, b.nodes.length, 16);
  const from = new Int32Array(first.setUp.solver.layers.d.nodes.count).fill(-1);
  a.nodes.forEach((node, k) => {
    from[node] =
      b.nodes[nearestPoint(tree, b.points, a.points[3 * k]!, a.points[3 * k + 1]!, a.points[3 * k + 2]!)]!;
  });
  return from;
}

/** Nodes on the work, in the coordinates of the part. */
function onPart({ setUp }: Case): { nodes: number[]; points: Float64Array } {
  const { nodes, panels } = setUp.solver.layers.d;
  const { patch } = setUp.domain.surface;
  const own = [...nodes.panel.keys()].filter(
    (i) => setUp.roles[patch[panels.origin[nodes.panel[i]!]!]!]!.role === 'work',
  );
  const points = new Float64Array(3 * own.length);
  own.forEach((i, k) => {
    const p: Vec3 = [nodes.position[3 * i]!, nodes.position[3 * i + 1]!, nodes.position[3 * i + 2]!];
    points.set(unplace(setUp.placed.part.placement, p), 3 * k);
  });
  return { nodes: own, points };
}
