import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ball, box, insideOut, joined, loose } from '../../../test/fixtures/meshes.js';
import { UNWATCHED } from '../../numerics/index.js';
import { measure } from '../measure.js';
import type { TriangleMesh } from '../surface.js';
import { findEdges } from './edges.js';
import { repairSurface } from './repair.js';

function repaired(mesh: TriangleMesh, group = new Int32Array(mesh.triangles.length / 3)) {
  const out = repairSurface({ ...mesh, group }, UNWATCHED);
  if (!out.ok) throw new Error(JSON.stringify(out.problems));
  const { value } = out;
  return {
    ...measure(value),
    ...value,
    kinds: Object.fromEntries(value.repairs.map(({ kind, count }) => [kind, count])),
    codes: value.warnings.map((w) => w.code),
  };
}

const sphere = ball(1, 8);
const whole = measure(sphere);

/** No edge of the result has more than two faces, and both run along it in opposite directions. */
function expectManifold({ triangles, vertices }: TriangleMesh): void {
  const { order, start, count } = findEdges(triangles, vertices.length / 3);
  for (let e = 0; e < count; e++) {
    const uses = [...order.subarray(start[e]!, start[e + 1]!)];
    expect(uses).toHaveLength(2);
    expect(triangles[uses[0]!]).not.toBe(triangles[uses[1]!]);
  }
}

describe('a sound surface', () => {
  test('is left alone', () => {
    const out = repaired(loose(sphere));
    expect(out).toMatchObject({ closed: true, bodies: 1, cavities: 0, repairs: [], warnings: [] });
    expect(out.vertices).toHaveLength(sphere.vertices.length);
  });

  test('keeps detail far below the weld tolerance', () => {
    // A cube a thousand times smaller than the tolerance, beside the sphere.
    const speck = box(1e-8, 1e-8, 1e-8, [1.5, 0, 0]);
    expect(repaired(joined(sphere, speck))).toMatchObject({ bodies: 2, closed: true, repairs: [] });
  });
});

test('faces in any order, any of them turned over, repeated, collapsed or not a number: the same surface comes back', () => {
  const faces = sphere.triangles.length / 3;
  fc.assert(
    fc.property(
      fc.array(fc.nat(faces - 1), { maxLength: 40 }),
      fc.array(fc.nat(faces - 1), { maxLength: 40 }),
      fc.nat(5),
      fc.integer(),
      (flip, repeat, collapsed, seed) => {
        const list = Array.from({ length: faces }, (_, t) => [...sphere.triangles.slice(3 * t, 3 * t + 3)]);
        for (const t of new Set(repeat)) list.push([...list[t]!.slice(1), list[t]![0]!]);
        for (const t of new Set(flip)) list[t]!.reverse();
        for (let i = 0; i < collapsed; i++) list.push([i, i + 3, i]);
        list.push([0, 1, sphere.vertices.length / 3]);
        let state = seed;
        const random = (n: number): number => {
          state = (Math.imul(state, 1103515245) + 12345) | 0;
          return (state >>> 8) % n;
        };
        for (let i = list.length - 1; i > 0; i--) {
          const j = random(i + 1);
          [list[i], list[j]] = [list[j]!, list[i]!];
        }
        const damaged = {
          vertices: Float64Array.from([...sphere.vertices, Number.NaN, 0, 0]),
          triangles: Uint32Array.from(list.flat()),
        };
        const out = repaired(loose(damaged));
        expect(out.area).toBeCloseTo(whole.area, 10);
        expect(out.volume).toBeCloseTo(whole.volume, 10);
        expect(out).toMatchObject({ closed: true, bodies: 1 });
        expectManifold(out);
        expect(out.kinds['non-finite-faces']).toBe(1);
        expect(out.kinds['degenerate-faces'] ?? 0).toBe(collapsed);
        expect(out.kinds['duplicate-faces'] ?? 0).toBe(new Set(repeat).size);
      },
    ),
    { numRuns: 50 },
  );
});

describe('cracks', () => {
  test('points that differ by rounding are welded, and counted', () => {
    const mesh = loose(sphere);
    const jittered = { ...mesh, vertices: mesh.vertices.map((x, i) => x + 1e-6 * Math.sin(12.9898 * i)) };
    const out = repaired(jittered);
    expect(out).toMatchObject({ closed: true, bodies: 1 });
    expect(out.kinds.weld).toBeGreaterThan(100);
    expect(out.volume).toBeCloseTo(whole.volume, 4);
    expectManifold(out);
  });

  test('a point on the long edge of a neighbour (T-junction) splits that neighbour', () => {
    // The edge from corner 0 to corner 1 of a box is cut in the two faces on one side only.
    const mesh = box(2, 1, 1);
    const at = mesh.vertices.length / 3;
    const triangles: number[] = [];
    let cut = false;
    for (let t = 0; t < 12; t++) {
      const face = [...mesh.triangles.slice(3 * t, 3 * t + 3)];
      const k = [0, 1, 2].find((c) => face[c] === 0 && face[(c + 1) % 3] === 1);
      if (k !== undefined && !cut) {
        cut = true;
        const [a, b, c] = [face[k]!, face[(k + 1) % 3]!, face[(k + 2) % 3]!];
        triangles.push(a, at, c, at, at + 1, c, at + 1, b, c);
      } else triangles.push(...face);
    }
    expect(cut).toBe(true);
    const out = repaired({
      vertices: Float64Array.from([...mesh.vertices, 0.5, 0, 0, 1.3, 0, 0]),
      triangles: Uint32Array.from(triangles),
    });
    expect(out).toMatchObject({ closed: true, bodies: 1, kinds: { 't-junctions': 2 } });
    expect(out.area).toBeCloseTo(10, 12);
    expect(out.volume).toBeCloseTo(2, 12);
    expectManifold(out);
  });
});

describe('holes', () => {
  const without = (mesh: TriangleMesh, drop: number[]): TriangleMesh => ({
    vertices: mesh.vertices,
    triangles: mesh.triangles.filter((_, i) => !drop.includes(Math.floor(i / 3))),
  });

  test('one missing facet of a fine mesh is put back', () => {
    const out = repaired(without(sphere, [100]));
    expect(out).toMatchObject({ closed: true, kinds: { 'holes-closed': 1 } });
    expect(out.volume).toBeCloseTo(whole.volume, 12);
    expectManifold(out);
  });

  test('a larger hole, and one facet of a coarse mesh, stay open and are told', () => {
    for (const open of [without(sphere, [100, 101, 102, 103]), without(box(1, 1, 1), [3])]) {
      const out = repaired(open);
      expect(out).toMatchObject({ closed: false, repairs: [] });
      expect(out.codes).toEqual(['open-surface']);
    }
  });

  test('a gap all around, narrower than the widest weld, is closed', () => {
    const moved = loose(sphere);
    const vertices = moved.vertices.slice();
    for (let t = 0; t < vertices.length / 9; t++)
      if ([0, 1, 2].every((k) => vertices[9 * t + 3 * k + 2]! > 0.3))
        for (let k = 0; k < 3; k++) vertices[9 * t + 3 * k + 2]! += 1e-4;
    const out = repaired({ ...moved, vertices });
    expect(out).toMatchObject({ closed: true, bodies: 1, kinds: { weld: 16 } });
    expectManifold(out);
  });

  test('a slit wider than any weld but of hardly any area is closed as a hole', () => {
    const [rings, row] = [40, 10];
    const fine = ball(1, rings);
    const first = 1 + (row - 1) * 2 * rings;
    const vertices = [...fine.vertices];
    const double = new Map<number, number>();
    for (let j = 5; j < 15; j++) {
      double.set(first + j, vertices.length / 3);
      const at = 3 * (first + j);
      vertices.push(vertices[at]!, vertices[at + 1]!, vertices[at + 2]! + 2e-3);
    }
    const triangles = fine.triangles.map((v, i, all) => {
      const north = [0, 1, 2].some((k) => all[i - (i % 3) + k]! < first);
      return north ? (double.get(v) ?? v) : v;
    });
    const out = repaired({ vertices: Float64Array.from(vertices), triangles });
    expect(out).toMatchObject({ closed: true, kinds: { 'holes-closed': 1 } });
    expect(out.volume / measure(fine).volume).toBeCloseTo(1, 3);
    expectManifold(out);
  });
});

describe('inside and outside', () => {
  const small = ball(0.4, 8, [0.1, 0, 0]);

  test('a file that is inside-out is turned, each body by itself', () => {
    const out = repaired(joined(insideOut(sphere), ball(1, 8, [5, 0, 0]), insideOut(ball(1, 8, [9, 0, 0]))));
    expect(out.kinds).toEqual({ 'inverted-body': 2 });
    expect(out.volume).toBeCloseTo(3 * whole.volume, 10);
  });

  test('a hollow is kept as a hollow, also in a file that is inside-out', () => {
    const hollow = joined(sphere, insideOut(small));
    for (const mesh of [hollow, insideOut(hollow)]) {
      const out = repaired(mesh);
      expect(out).toMatchObject({ bodies: 1, cavities: 1, closed: true });
      expect(out.volume).toBeCloseTo(whole.volume - measure(small).volume, 10);
      expect(out.cavityArea).toBeCloseTo(measure(small).area, 10);
      expect(out.codes).toEqual(['enclosed-cavities']);
      expect(new Set(out.body)).toEqual(new Set([0]));
    }
  });

  test('a solid in a hollow in a solid is a second body', () => {
    const core = ball(0.2, 8, [0.1, 0, 0]);
    for (const inner of [core, insideOut(core)]) {
      const out = repaired(joined(inner, insideOut(small), sphere));
      expect(out).toMatchObject({ bodies: 2, cavities: 1 });
      expect(out.volume).toBeCloseTo(whole.volume - measure(small).volume + measure(core).volume, 10);
    }
  });

  test('a solid drawn inside another is told, not turned into a hollow', () => {
    const out = repaired(joined(sphere, small));
    expect(out).toMatchObject({ bodies: 2, cavities: 0, repairs: [] });
    expect(out.codes).toEqual(['body-inside-body']);
  });

  test('a few facets wound the wrong way are told apart from a body that is', () => {
    const mesh = insideOut(sphere);
    for (const t of [5, 50])
      [mesh.triangles[3 * t], mesh.triangles[3 * t + 1]] = [
        mesh.triangles[3 * t + 1]!,
        mesh.triangles[3 * t]!,
      ];
    const out = repaired(mesh);
    expect(out.kinds).toEqual({ 'inverted-body': 1, 'flipped-faces': 2 });
    expect(out.volume).toBeCloseTo(whole.volume, 12);
  });

  test('a Moebius band has no inside, which is told', () => {
    const n = 12;
    const vertices: number[] = [];
    for (let i = 0; i < n; i++)
      for (const side of [-0.3, 0.3]) {
        const [turn, twist] = [(2 * Math.PI * i) / n, (Math.PI * i) / n];
        const r = 1 + side * Math.cos(twist);
        vertices.push(r * Math.cos(turn), r * Math.sin(turn), side * Math.sin(twist));
      }
    const at = (i: number, side: number): number => (i < n ? 2 * i + side : 1 - side);
    const triangles = Array.from({ length: n }, (_, i) => [
      at(i, 0),
      at(i + 1, 0),
      at(i + 1, 1),
      at(i, 0),
      at(i + 1, 1),
      at(i, 1),
    ]);
    const out = repaired({
      vertices: Float64Array.from(vertices),
      triangles: Uint32Array.from(triangles.flat()),
    });
    expect(out.closed).toBe(false);
    expect(out.codes).toContain('one-sided-surface');
  });
});

describe('several bodies', () => {
  test('boxes that share an edge, a corner or a wall stay apart, each closed', () => {
    for (const shift of [
      [1, 1, 0],
      [1, 1, 1],
      [1, 0, 0],
    ]) {
      const out = repaired(loose(joined(box(1, 1, 1), box(1, 1, 1, shift))));
      expect(out).toMatchObject({ bodies: 2, closed: true });
      expect(out.volume).toBeCloseTo(2, 12);
      expectManifold(out);
    }
  });

  test('a file written double-sided loses its second side, one with a mirrored copy of everything', () => {
    const out = repaired(joined(sphere, insideOut(sphere)));
    expect(out.kinds['double-sided-faces']).toBe(sphere.triangles.length / 3);
    expect(out.volume).toBeCloseTo(whole.volume, 12);
  });

  test('bodies that run into each other are told, bodies that touch are not', () => {
    expect(repaired(joined(sphere, ball(1, 8, [1.1, 0.1, 0.2]))).codes).toEqual(['overlapping-bodies']);
    expect(repaired(joined(box(1, 1, 1), box(1, 1, 1, [1, 0.3, 0.2]))).codes).toEqual([]);
  });

  test('a stray scrap is left out beside a closed body', () => {
    const scrap = {
      vertices: Float64Array.of(5, 0, 0, 5.1, 0, 0, 5, 0.1, 0),
      triangles: Uint32Array.of(0, 1, 2),
    };
    const out = repaired(joined(sphere, scrap));
    expect(out).toMatchObject({ closed: true, bodies: 1, kinds: { 'stray-pieces': 1 } });
    expect(out.bounds.max[0]).toBeCloseTo(1, 12);
  });

  test('groups follow their triangles', () => {
    const mesh = joined(box(1, 1, 1), box(1, 1, 1, [3, 0, 0]));
    const out = repaired(
      insideOut(mesh),
      Int32Array.from({ length: 24 }, (_, t) => (t < 12 ? 4 : 7)),
    );
    for (let t = 0; t < 24; t++)
      expect(out.group[t]).toBe(out.vertices[3 * out.triangles[3 * t]!]! > 2 ? 7 : 4);
  });
});

test('a surface without area is refused', () => {
  const flat = {
    vertices: Float64Array.of(0, 0, 0, 1, 1, 1, 2, 2, 2),
    triangles: Uint32Array.of(0, 1, 2),
    group: new Int32Array(1),
  };
  const out = repairSurface(flat, UNWATCHED);
  expect(out.ok ? [] : out.problems.map((p) => p.code)).toEqual(['no-surface']);
});

test('work that is cancelled says so', () => {
  const out = repairSurface(
    { ...sphere, group: new Int32Array(sphere.triangles.length / 3) },
    { report: () => {}, cancelled: () => true },
  );
  expect(out.ok ? [] : out.problems.map((p) => p.code)).toEqual(['cancelled']);
});
