import { basisAt, basisOf } from '../field/index.js';
import { displayMesh, interpolate, onPanels, place } from '../geometry/index.js';
import { meshOf } from './place.js';
import type { DrawnBody, PartMap } from './result.js';
import type { SetUp } from './set-up.js';

/** Parameters (s, t) of the six nodes of a panel, corners then mid-sides. */
const CORNERS = [
  [0, 0],
  [1, 0],
  [0, 1],
  [0.5, 0],
  [0.5, 0.5],
  [0, 0.5],
] as const;

/** Four flat triangles stand for a curved panel. */
const PIECES = [
  [0, 3, 5],
  [3, 1, 4],
  [5, 4, 2],
  [3, 4, 5],
] as const;

export interface MapValues {
  thickness: Float64Array;
  currentDensity: Float64Array;
  metal: Float64Array;
  limitFraction: Float64Array;
}

/** What a map is drawn on, and how nodal values of the solve come to its vertices. */
interface Ground {
  positions: Float32Array;
  triangles: Uint32Array;
  significant: Uint8Array;
  at(nodal: Float64Array): Float32Array;
}

/**
 * Local values on the part as triangles a screen can draw: on the person's own mesh where the part came as a file, on the
 * panels where it is a shape.
 */
export function partMap(setUp: SetUp, values: MapValues, burning: number, covering: number): PartMap {
  const ground = setUp.placed.part.form.kind === 'mesh' ? fileGround(setUp) : panelGround(setUp);
  const metal = ground.at(values.metal);
  const currentDensity = ground.at(values.currentDensity);
  return {
    positions: ground.positions,
    triangles: ground.triangles,
    thickness: ground.at(values.thickness),
    currentDensity,
    efficiency: metal.map((m, v) => (currentDensity[v]! > 0 ? Math.min(1, m / currentDensity[v]!) : 0)),
    limitFraction: ground.at(values.limitFraction),
    significant: ground.significant,
    flag: Uint8Array.from(currentDensity, (i) => (i >= burning ? 2 : i < covering ? 1 : 0)),
  };
}

/** Values at the nodes of the surface: what the panels of the part say of one point is averaged; 0 off the part. */
function atSurfaceNodes(setUp: SetUp, nodal: Float64Array): Float64Array {
  const { surface } = setUp.domain;
  const { panels, nodes, perPanel } = setUp.solver.layers.d;
  const sum = new Float64Array(surface.nodes.length / 3);
  const seen = new Int32Array(sum.length);
  for (let p = 0; p < panels.count; p++) {
    const number = panels.origin[p]!;
    if (!setUp.part[number]) continue;
    const basis = basisOf(perPanel[p] as 1 | 3 | 6);
    CORNERS.forEach(([s, t], k) => {
      const node = surface.panels[6 * number + k]!;
      for (let j = 0; j < perPanel[p]!; j++)
        sum[node]! += basisAt(basis, j, s, t) * nodal[nodes.start[p]! + j]!;
      seen[node]! += 1;
    });
  }
  return sum.map((x, node) => (seen[node]! > 0 ? Math.max(0, x / seen[node]!) : 0));
}

function panelGround(setUp: SetUp): Ground {
  const { surface } = setUp.domain;
  const chosen = [...setUp.part.keys()].filter((p) => setUp.part[p]);
  const node = [...new Set(chosen.flatMap((p) => [...surface.panels.subarray(6 * p, 6 * p + 6)]))];
  const number = new Map(node.map((n, v) => [n, v]));
  const positions = new Float32Array(3 * node.length);
  for (const [n, v] of number) positions.set(surface.nodes.subarray(3 * n, 3 * n + 3), 3 * v);
  const corner = (p: number, k: number): number => number.get(surface.panels[6 * p + k]!)!;
  // Panels face the metal; a viewer looks at the part from the liquid.
  const triangles = chosen.flatMap((p) =>
    PIECES.flatMap(([a, b, c]) => [corner(p, a), corner(p, c), corner(p, b)]),
  );
  return {
    positions,
    triangles: Uint32Array.from(triangles),
    significant: Uint8Array.from(chosen.flatMap((p) => PIECES.map(() => setUp.significant[p]!))),
    at(nodal) {
      const values = atSurfaceNodes(setUp, nodal);
      return Float32Array.from(node, (n) => values[n]!);
    },
  };
}

function fileGround(setUp: SetUp): Ground {
  const { domain } = setUp;
  const body = domain.spec.bodies.findIndex((b) => b.role === 'part');
  const mesh = displayMesh(domain, body);
  const places = onPanels(domain, body, mesh.vertices);
  const wet: number[] = [];
  for (let t = 0; t < mesh.triangles.length; t += 3)
    if ([0, 1, 2].some((k) => places.panel[mesh.triangles[t + k]!]! >= 0))
      wet.push(...mesh.triangles.subarray(t, t + 3));
  const triangles = Uint32Array.from(wet);
  return {
    positions: Float32Array.from(mesh.vertices),
    triangles,
    significant: Uint8Array.from({ length: triangles.length / 3 }, (_, t) => {
      const panel = [0, 1, 2].map((k) => places.panel[triangles[3 * t + k]!]!).find((p) => p >= 0)!;
      return setUp.significant[panel]!;
    }),
    at(nodal) {
      const values = atSurfaceNodes(setUp, nodal);
      const atNodes = Float64Array.from(domain.surface.panels, (n) => values[n]!);
      return Float32Array.from(interpolate(places, atNodes), (x) =>
        Number.isFinite(x) ? Math.max(0, x) : 0,
      );
    },
  };
}

/** Everything else in the vessel, whole, for drawing. */
export function drawnBodies(setUp: SetUp): DrawnBody[] {
  const bodies = setUp.placed.spec.bodies.flatMap((body): DrawnBody[] => {
    if (body.role === 'part' || body.role === 'clip') return [];
    const mesh = meshOf(body.form);
    const positions = new Float32Array(mesh.vertices.length);
    for (let i = 0; i < positions.length; i += 3)
      positions.set(
        place(body.placement, [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!]),
        i,
      );
    // A copy: whoever draws may take the buffer away.
    return [{ name: body.name, role: body.role, positions, triangles: mesh.triangles.slice() }];
  });
  return [...bodies, wallOf(setUp)];
}

/** The wetted wall of the vessel from its panels. */
function wallOf({ domain: { surface } }: SetUp): DrawnBody {
  const wall = surface.patchNames.indexOf('wall');
  const triangles: number[] = [];
  for (let p = 0; p < surface.patch.length; p++)
    if (surface.patch[p] === wall)
      for (const piece of PIECES) triangles.push(...piece.map((k) => surface.panels[6 * p + k]!));
  return {
    name: 'vessel',
    role: 'vessel',
    positions: Float32Array.from(surface.nodes),
    triangles: Uint32Array.from(triangles),
  };
}
