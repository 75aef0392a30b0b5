import {
  type FieldGeometry,
  type FieldResult,
  FieldSolver,
  fastOperator,
  type Kinetics,
  type Law,
  type PatchSpec,
  surfaceAt,
} from '../../src/field/index.js';
import {
  boxPatches,
  type ChartPatch,
  chartSurface,
  graded,
  spherePatches,
  steps,
} from '../../src/field/testing/surfaces.js';
import type { PanelSurface } from '../../src/geometry/index.js';

export const fixed: Law = { kind: 'fixed' };
export const linear = (resistance: number): Law => ({ kind: 'linear', resistance });
export const cathode = (law: Law = fixed): PatchSpec => ({ role: 'cathode', law });
export const anode = (law: Law = fixed): PatchSpec => ({ role: 'anode', law });
export const wall: PatchSpec = { role: 'insulator' };

export interface Solved {
  solver: FieldSolver;
  result: FieldResult;
}

export function solve(geometry: FieldGeometry, kinetics: Kinetics): Solved {
  const prepared = FieldSolver.prepare({ nodesPerPanel: 6, ...geometry }, { makeOperator: fastOperator() });
  if (!prepared.ok) throw new Error(JSON.stringify(prepared.problems));
  const result = prepared.value.solve(kinetics);
  if (result.status !== 'converged') throw new Error(result.remark ?? result.status);
  return { solver: prepared.value, result };
}

export const resistance = ({ result }: Solved): number => result.cellVoltage / result.current;

/** C / (4 pi eps0) of a body alone, by the duality R = eps0 / (kappa C). */
export const capacitance = (surface: PanelSurface, nodesPerPanel: 1 | 3 | 6 = 6): number =>
  1 /
  (4 *
    Math.PI *
    resistance(
      solve(
        { surface, unbounded: true, nodesPerPanel },
        { conductivity: 1, patches: [cathode()], drive: { voltage: 1 } },
      ),
    ));

/** |i| over the patch mean at the surface point nearest to a point. */
export function ratioAt({ solver, result }: Solved, x: number, y: number, z: number): number {
  const [point] = surfaceAt(solver, result, Float64Array.of(x, y, z));
  return Math.abs(point.currentDensity / result.patches[point.patch].meanCurrentDensity);
}

/** A lazily computed value: several cases read one solve. */
export function once<T>(make: () => T): () => T {
  let value: { made: T } | null = null;
  return () => {
    value ??= { made: make() };
    return value.made;
  };
}

export const sphere = (n: number): PanelSurface => chartSurface(spherePatches([1, 1, 1], n, 0), ['a']);

export const cube = (n: number, power: number): PanelSurface =>
  chartSurface(
    boxPatches(
      [0, 0, 0],
      [1, 1, 1],
      (a, b) => graded(a, b, n, power, 'both'),
      () => 0,
    ),
    ['a'],
  );

/** A disc of zero thickness in the plane z = 0, rings crowding toward the edge. */
export const disc = (rings: number, around: number, power: number): PanelSurface =>
  chartSurface(
    [
      {
        chart: (u, v) => [v * Math.cos(u), v * Math.sin(u), 0],
        u: steps(0, 2 * Math.PI, around),
        v: graded(0, 1, rings, power, 'high'),
        patch: 0,
      },
    ],
    ['disc'],
  );

/** Height of every plane cell [m]: its upper end is the mirror, its lower end an insulating floor. */
export const DEPTH = 0.5;

/** A side of a plane cell: a curve over increasing parameters. */
export interface Side {
  curve: (u: number) => readonly [number, number];
  u: readonly number[];
  patch: number;
}

/**
 * A cell whose field does not depend on z: the sides stand on a floor cut by the map (u, v) -> (x, y) and end at a
 * mirror, so that the solution is the plane one exactly. The floor is the last patch.
 */
export function planeCell(
  sides: readonly Side[],
  floor: {
    map: (u: number, v: number) => readonly [number, number];
    u: readonly number[];
    v: readonly number[];
  },
  names: string[],
  size = 1,
): FieldGeometry {
  const height = DEPTH * size;
  const patches: ChartPatch[] = sides.map(({ curve, u, patch }) => ({
    chart: (s, z) => [...curve(s), z] as const,
    u,
    v: [0, height],
    patch,
  }));
  patches.push({
    chart: (u, v) => [...floor.map(u, v), 0] as const,
    u: floor.u,
    v: floor.v,
    patch: names.length - 1,
  });
  return { surface: chartSurface(patches, names), mirrorHeight: height };
}

/** A rectangle [x0, x1] x [y0, y1] as a plane cell; `patchOf` names the patch of a piece of a side by its middle. */
export function rectangle(
  x: readonly number[],
  y: readonly number[],
  patchOf: (x: number, y: number) => number,
  names: string[],
): FieldGeometry {
  const [x0, x1, y0, y1] = [x[0], x[x.length - 1], y[0], y[y.length - 1]];
  const sides: Side[] = [];
  for (let i = 0; i + 1 < x.length; i++)
    for (const yy of [y0, y1])
      sides.push({
        curve: (u) => [u, yy],
        u: [x[i], x[i + 1]],
        patch: patchOf((x[i] + x[i + 1]) / 2, yy),
      });
  for (let j = 0; j + 1 < y.length; j++)
    for (const xx of [x0, x1])
      sides.push({
        curve: (u) => [xx, u],
        u: [y[j], y[j + 1]],
        patch: patchOf(xx, (y[j] + y[j + 1]) / 2),
      });
  return planeCell(sides, { map: (u, v) => [u, v], u: x, v: y }, names);
}

/** Between two closed curves around the origin of angles: inner patch 0, outer patches by angle. */
export function annulus(
  inner: (angle: number) => readonly [number, number],
  outer: (angle: number) => readonly [number, number],
  angles: readonly number[],
  across: readonly number[],
  outerPatch: (angle: number) => number,
  names: string[],
  size = 1,
): FieldGeometry {
  const sides: Side[] = [{ curve: inner, u: angles, patch: 0 }];
  for (let k = 0; k + 1 < angles.length; k++)
    sides.push({
      curve: outer,
      u: [angles[k], angles[k + 1]],
      patch: outerPatch((angles[k] + angles[k + 1]) / 2),
    });
  return planeCell(
    sides,
    {
      map: (u, v) => {
        const [a, b] = [inner(u), outer(u)];
        return [a[0] + v * (b[0] - a[0]), a[1] + v * (b[1] - a[1])];
      },
      u: angles,
      v: across,
    },
    names,
    size,
  );
}
