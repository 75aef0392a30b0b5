import {
  type FieldGeometry,
  type FieldResult,
  FieldSolver,
  fastOperator,
  type Kinetics,
  quantiles,
  richOn,
  samplePanels,
} from '../src/field/index.js';
import {
  type BodySpec,
  buildDomain,
  type Domain,
  type DomainSpec,
  type Quality,
  turnAbout,
} from '../src/geometry/index.js';
import { startCrew } from '../src/server/crew.js';

/** The benchmark set-ups of ../shared/peers: a band ring in a beaker, one rod (b), or two rods and a hook (c). */
export type Case = 'b' | 'c';
export type Law = 'robin' | 'primary';

const ring: BodySpec = {
  name: 'ring',
  role: 'part',
  form: { kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.0004 },
  placement: { position: [0, 0, 0.045], turn: turnAbout([1, 0, 0], Math.PI / 2) },
};
const hook: BodySpec = {
  name: 'hook',
  role: 'hook',
  form: {
    kind: 'wire',
    diameter: 0.0005,
    path: [
      [0, 0, 0.054],
      [0, 0, 0.085],
    ],
  },
  placement: { position: [0, 0, 0] },
};
const rod = (x: number, name: string): BodySpec => ({
  name,
  role: 'anode',
  form: { kind: 'rod', diameter: 0.006, length: 0.07 },
  placement: { position: [x, 0, 0.055] },
});

/** `shift` [m] moves the first rod, for solving again with one anode moved. */
const setUp = (which: Case, shift = 0): DomainSpec => ({
  bodies: [ring, rod(0.025 + shift, 'anode 1'), ...(which === 'c' ? [rod(-0.025, 'anode 2'), hook] : [])],
  vessel: { kind: 'beaker', diameter: 0.08, height: 0.1 },
  liquidHeight: 0.08,
});

function problemOf(domain: Domain, law: Law, resistance: number, rich: boolean): FieldGeometry & Kinetics {
  const ring = domain.surface.patchNames.indexOf('ring');
  return {
    conductivity: 4,
    surface: domain.surface,
    nodesPerPanel: rich ? richOn(domain.surface, (patch) => patch === ring) : 3,
    patches: domain.surface.patchNames.map((name) =>
      name === 'wall'
        ? { role: 'insulator' }
        : name.startsWith('anode')
          ? { role: 'anode', law: { kind: 'fixed' } }
          : { role: 'cathode', law: law === 'robin' ? { kind: 'linear', resistance } : { kind: 'fixed' } },
    ),
    drive: { voltage: 1 },
    ...(domain.mirrorHeight !== undefined && { mirrorHeight: domain.mirrorHeight }),
  };
}

/** How finely ours is cut: a quality of the mesher, with six nodes a panel on the ring (`rich`) or three everywhere. */
export interface Level {
  quality: Quality;
  rich: boolean;
}

/** Seconds from the set-up to the figures, and the figures the peer's reference holds. */
export interface Outcome {
  panels: number;
  nodes: number;
  seconds: number;
  /** Of these, in the mesher. */
  meshing: number;
  /** Again with half the resistance at the cathode, and again with the first rod 0.5 mm nearer [s]. */
  again: number;
  moved: number;
  movedMeshing: number;
  megabytes: number;
  R: number;
  q05: number;
  q95: number;
}

/** One cold run of ours, in this process: start with a fresh one. */
export async function ours(which: Case, law: Law, { quality, rich }: Level): Promise<Outcome> {
  const crew = startCrew();
  const watch = clock();
  const domain = await built(setUp(which), quality);
  const meshing = watch();
  const problem = problemOf(domain, law, 5e-4, rich);
  const prepared = FieldSolver.prepare(problem, { makeOperator: fastOperator(crew) });
  if (!prepared.ok) throw new Error(JSON.stringify(prepared.problems));
  const solver = prepared.value;
  const result = solver.solve(problem);
  const figures = figuresOf(domain, solver, result);
  const seconds = meshing + watch();
  solver.solve(problemOf(domain, law, 2.5e-4, rich));
  const again = watch();
  const nearer = await built(setUp(which, -0.0005), quality, domain);
  const movedMeshing = watch();
  const changed = nearer.kept.flatMap((k, i) => (k === 'same' ? [] : [i]));
  const next = solver.moved(problemOf(nearer, law, 5e-4, rich), changed);
  if (!next.ok) throw new Error(JSON.stringify(next.problems));
  next.value.solve(problemOf(nearer, law, 5e-4, rich));
  const moved = movedMeshing + watch();
  crew.release();
  return {
    panels: domain.owner.length,
    nodes: result.nodes.count,
    seconds,
    meshing,
    again,
    moved,
    movedMeshing,
    megabytes: process.resourceUsage().maxRSS / 1024,
    ...figures,
  };
}

/** Seconds since the last call. */
function clock(): () => number {
  let last = performance.now();
  return () => {
    const now = performance.now();
    const seconds = (now - last) / 1000;
    last = now;
    return seconds;
  };
}

async function built(spec: DomainSpec, quality: Quality, previous?: Domain): Promise<Domain> {
  const outcome = await buildDomain(spec, { quality, ...(previous && { previous }) });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.value;
}

function figuresOf(
  domain: Domain,
  solver: FieldSolver,
  result: FieldResult,
): { R: number; q05: number; q95: number } {
  if (result.status !== 'converged') throw new Error(result.remark ?? result.status);
  const { patch, origin } = solver.layers.d.panels;
  const ringPatch = domain.surface.patchNames.indexOf('ring');
  const ringOwner = domain.spec.bodies.findIndex((b) => b.name === 'ring');
  const samples = samplePanels(
    solver.layers,
    result.nodes.currentDensity,
    (p) => patch[p] === ringPatch && domain.owner[origin[p]!] === ringOwner,
  );
  const [q05, q95] = quantiles(samples, [0.05, 0.95]);
  return { R: result.cellVoltage / result.current, q05: q05!, q95: q95! };
}
