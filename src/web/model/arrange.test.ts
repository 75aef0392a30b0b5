import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { parseQuantity } from '../../units/index.js';
import { arrange, type ShelfThing } from './arrange.js';

const shelf = parse(readFileSync('examples/workshop/shelf.yaml', 'utf8')) as ShelfThing[];
const metres = (text: unknown): number => {
  const read = parseQuantity(text, 'length');
  if (!read.ok) throw new Error(`${String(text)} is not a length`);
  return read.value;
};

describe('a first set-up', () => {
  it('keeps the part under the liquid, off the floor, and clear of anodes that stand inside the wall', () => {
    const side = fc.double({ min: 1e-3, max: 0.09, noNaN: true });
    fc.assert(
      fc.property(side, side, side, (x, y, z) => {
        const found = arrange([x, y, z], 'nickel', shelf);
        if (!found) return;
        const depth = metres(found.vessel.depth);
        const middle = metres(found.position[2]);
        expect(middle - z / 2).toBeGreaterThan(0.01);
        expect(middle + z / 2).toBeLessThan(depth - 0.01);
        for (const anode of found.anodes) {
          const at = Math.abs(metres(anode.position[1]));
          const { shape } = anode.solid as { shape: Record<string, string> };
          const corner = Math.hypot(metres(shape.x) / 2, at + metres(shape.y) / 2);
          expect(corner).toBeLessThan(metres(found.vessel.diameter) / 2);
          expect(at - metres(shape.y) / 2 - Math.hypot(x, y) / 2).toBeGreaterThan(0.01);
          const [top, bottom] = [1, -1].map((s) => metres(anode.position[2]) + (s * metres(shape.z)) / 2) as [
            number,
            number,
          ];
          expect(bottom).toBeGreaterThan(0.002);
          expect(top).toBeGreaterThan(depth);
        }
      }),
    );
  });
  it('takes the smallest vessel, and none for a part that fits nowhere', () => {
    const small = arrange([0.02, 0.006, 0.02], 'nickel', shelf)!;
    const large = arrange([0.08, 0.006, 0.08], 'nickel', shelf)!;
    expect(metres(small.vessel.diameter)).toBeLessThan(metres(large.vessel.diameter));
    expect(arrange([0.9, 0.9, 0.9], 'nickel', shelf)).toBeUndefined();
  });
  it('hangs the anode metal that the bath deposits', () => {
    const found = arrange([0.02, 0.006, 0.02], 'copper', shelf)!;
    expect(found.anodes[0]!.metal).toBe('copper');
  });
});
