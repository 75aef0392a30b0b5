import { basisAt, basisOf } from '../field/index.js';
import { place } from '../geometry/index.js';
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

/** Local values on the panels of the part, as triangles a screen can draw: what belongs to one point is averaged. */
export function partMap(setUp: SetUp, values: MapValues, burning: number, covering: number): PartMap {
  const { surface } = setUp.domain;
  const { layers } = setUp.solver;
  const { panels, nodes, perPanel } = layers.d;
  const chosen = [...panels.origin.keys()].filter((p) => setUp.part[panels.origin[p]!]);
  const number = new Map<number, number>();
  for (const p of chosen)
    for (let k = 0; k < 6; k++) {
      const node = surface.panels[6 * panels.origin[p]! + k]!;
      if (!number.has(node)) number.set(node, number.size);
    }
  const count = number.size;
  const positions = new Float32Array(3 * count);
  for (const [node, v] of number)
    for (let d = 0; d < 3; d++) positions[3 * v + d] = surface.nodes[3 * node + d]!;
  const seen = new Float32Array(count);
  const mean = (nodal: Float64Array): Float32Array => {
    const out = new Float32Array(count);
    seen.fill(0);
    for (const p of chosen) {
      const basis = basisOf(perPanel[p] as 1 | 3 | 6);
      CORNERS.forEach(([s, t], k) => {
        const v = number.get(surface.panels[6 * panels.origin[p]! + k]!)!;
        let sum = 0;
        for (let j = 0; j < perPanel[p]!; j++) sum += basisAt(basis, j, s, t) * nodal[nodes.start[p]! + j]!;
        out[v]! += sum;
        seen[v]! += 1;
      });
    }
    return out.map((x, v) => Math.max(0, x / seen[v]!));
  };
  const triangles: number[] = [];
  const significant: number[] = [];
  for (const p of chosen)
    for (const piece of PIECES) {
      // Panels face the metal; a viewer looks at the part from the liquid.
      const [a, b, c] = piece.map((k) => number.get(surface.panels[6 * panels.origin[p]! + k]!)!);
      triangles.push(a!, c!, b!);
      significant.push(setUp.significant[panels.origin[p]!]!);
    }
  const metal = mean(values.metal);
  const currentDensity = mean(values.currentDensity);
  const limitFraction = mean(values.limitFraction);
  return {
    positions,
    triangles: Uint32Array.from(triangles),
    thickness: mean(values.thickness),
    currentDensity,
    efficiency: metal.map((m, v) => (currentDensity[v]! > 0 ? Math.min(1, m / currentDensity[v]!) : 0)),
    limitFraction,
    significant: Uint8Array.from(significant),
    flag: Uint8Array.from(currentDensity, (i) => (i >= burning ? 2 : i < covering ? 1 : 0)),
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
    return [{ name: body.name, role: body.role, positions, triangles: mesh.triangles }];
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
