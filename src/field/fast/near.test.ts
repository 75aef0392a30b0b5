import { expect, test } from 'vitest';
import { buildKdTree } from '../../numerics/index.js';
import { plainNear } from '../near.js';
import { findNear } from '../near-list.js';
import { buildNodes, type Discretisation } from '../nodes.js';
import { buildPanels } from '../panels.js';
import { boxPatches, chartSurface, spherePatches, steps, torusPatch } from '../testing/surfaces.js';
import { sharedCrew, soloCrew } from './crew.js';
import { fastNear } from './near.js';

/** A stretched torus (one body), a flat box that nearly touches it (another), and a sheet, under a mirror that is near. */
function setUp(k: 0 | 1 | 3 | 6): Discretisation {
  const surface = chartSurface(
    [
      torusPatch(5, 1, 7, 8, 0),
      ...boxPatches(
        [4, -2, 1.005],
        [6, 2, 1.8],
        (a, b, axis) => steps(a, b, axis === 1 ? 1 : 2),
        () => 1,
        1,
      ),
      ...spherePatches([1, 0.4, 0.4], 1, 2, 2, [2, 0, 0.9]),
    ],
    ['a', 'b', 'c'],
  );
  const panels = buildPanels(surface);
  const perPanel = Uint8Array.from({ length: panels.count }, (_, p) => k || [1, 3, 6][p % 3]!);
  const sign = Int8Array.from(panels.body, (b) => (b === 1 ? -1 : 1));
  const sheet = Uint8Array.from(panels.body, (b) => (b === 2 ? 1 : 0));
  return { panels, nodes: buildNodes(panels, perPanel, sign, sheet, 1.9), perPanel, sign, sheet };
}

const BODIES = [0, 1, 2];

function blocksOf(d: Discretisation, maker: typeof plainNear) {
  return BODIES.flatMap((a) => {
    const tree = buildKdTree(d.nodes.position, d.nodes.bodyStart[a]!, d.nodes.bodyStart[a + 1]!, 12);
    return BODIES.map((b) => ({
      observers: a,
      sources: b,
      block: maker.build(d, findNear(d, tree, a, b), a, b),
    }));
  });
}

test.each([1, 3, 6, 0] as const)(
  'kernels agree with the plain integrals: %d nodes a panel (0: mixed)',
  (k) => {
    const d = setUp(k);
    const crew = soloCrew();
    const fast = fastNear(() => crew);
    const plain = blocksOf(d, plainNear);
    const quick = blocksOf(d, fast);
    let entries = 0;
    let worst = 0;
    for (const [n, { block }] of plain.entries()) {
      const want = block.values();
      const got = quick[n]!.block.values();
      expect(got.length).toBe(want.length);
      entries += want.length;
      for (let i = 0; i < want.length; i++) worst = Math.max(worst, Math.abs(got[i]! - want[i]!));
    }
    expect(worst).toBeLessThan(2e-5);
    expect(entries).toBeGreaterThan(1000);

    const q = Float64Array.from({ length: d.nodes.count }, (_, i) => Math.sin(i));
    const phi = Float64Array.from({ length: d.nodes.count }, (_, i) => Math.cos(3 * i));
    for (const potential of [phi, null]) {
      const want = new Float64Array(d.nodes.count).fill(7);
      const got = want.slice();
      plainNear.sum(d, plain).add(q, potential, want);
      fast.sum(d, quick).add(q, potential, got);
      for (let i = 0; i < want.length; i++) expect(Math.abs(got[i]! - want[i]!)).toBeLessThan(2e-4);
      expect(want.some((v) => Math.abs(v - 7) > 0.1)).toBe(true);
    }
  },
);

test("observers in a panel's lap need more pieces than there is room for, and get them", () => {
  // A grazing observer a hundred thousandth of the panel away, many times over.
  const d = setUp(3);
  const { nodes, panels } = d;
  const centre = panels.centre.slice(0, 3);
  for (let i = nodes.bodyStart[1]!; i < nodes.bodyStart[2]!; i++)
    for (let c = 0; c < 3; c++)
      nodes.position[3 * i + c] =
        centre[c]! + nodes.normal[c]! * 1e-5 + 0.1 * Math.sin(7 * i + c) * (c === 0 ? 0 : 1);
  const tree = buildKdTree(nodes.position, nodes.bodyStart[1]!, nodes.bodyStart[2]!, 12);
  const list = findNear(d, tree, 1, 0);
  const want = plainNear.build(d, list, 1, 0).values();
  const crew = soloCrew();
  const got = fastNear(() => crew)
    .build(d, list, 1, 0)
    .values();
  expect(want.length).toBeGreaterThan(100);
  for (let i = 0; i < want.length; i++) expect(Math.abs(got[i]! - want[i]!)).toBeLessThan(1e-4);
});

test('the numbers do not depend on the number of threads, and memory is handed back', () => {
  const d = setUp(3);
  const one = soloCrew();
  const three = sharedCrew(3);
  const alone = blocksOf(
    d,
    fastNear(() => one),
  );
  const shared = blocksOf(
    d,
    fastNear(() => three),
  );
  for (const [n, { block }] of alone.entries()) expect(shared[n]!.block.values()).toEqual(block.values());
  for (const { block } of alone) block.release!();
  const before = one.arena.used;
  for (let i = 0; i < 3; i++) {
    const again = blocksOf(
      d,
      fastNear(() => one),
    );
    const sum = fastNear(() => one).sum(d, again);
    sum.release!();
    for (const { block } of again) block.release!();
  }
  expect(one.arena.used).toBe(before);
});
