import type { Panels } from '../measure.js';

/**
 * Sides of panels that do not meet exactly one other panel running the other way with the same mid-side node.
 * Sides whose three nodes lie at `rim` are the cut by the liquid surface and may stay open.
 */
export function openSides(p: Panels, rim = Number.NaN): number {
  const sides = new Map<string, number>();
  for (let t = 0; t < p.panels.length; t += 6)
    for (let k = 0; k < 3; k++) {
      const [a, b, m] = [p.panels[t + k]!, p.panels[t + ((k + 1) % 3)]!, p.panels[t + 3 + k]!];
      const name = a < b ? `${a},${b},${m}` : `${b},${a},${m}`;
      sides.set(name, (sides.get(name) ?? 0) + (a < b ? 1 : 1000));
    }
  let open = 0;
  for (const [name, uses] of sides) {
    if (uses === 1001) continue;
    const inRim = name.split(',').every((n) => p.nodes[3 * Number(n) + 2] === rim);
    if (!((uses === 1 || uses === 1000) && inRim)) open++;
  }
  return open;
}
