import { panelAreas } from '../panels/measure.js';
import type { PanelSurface } from '../surface.js';
import type { Block } from './domain.js';
import { type BodySpec, WALL } from './spec.js';

/** Puts blocks side by side into one surface with normals out of the liquid: metal skins are turned inside out. */
export function assemble(blocks: Block[], bodies: BodySpec[]): { surface: PanelSurface; areas: number[] } {
  const patchNames = [...new Set(bodies.map((b) => b.patch ?? b.name))];
  const nodeCount = blocks.reduce((n, b) => n + b.nodes.length, 0);
  const panelCount = blocks.reduce((n, b) => n + b.owner.length, 0);
  const surface: PanelSurface = {
    nodes: new Float64Array(nodeCount),
    panels: new Int32Array(6 * panelCount),
    patch: new Int32Array(panelCount),
    body: new Int32Array(panelCount),
    patchNames,
  };
  if (blocks.some((b) => b.bodies.length === 0)) patchNames.push(WALL);
  let [node, panel] = [0, 0];
  blocks.forEach((block, number) => {
    surface.nodes.set(block.nodes, 3 * node);
    const wall = block.bodies.length === 0;
    const order = wall ? [0, 1, 2, 3, 4, 5] : [0, 2, 1, 5, 4, 3];
    for (let t = 0; t < block.owner.length; t++, panel++) {
      order.forEach((from, k) => {
        surface.panels[6 * panel + k] = block.panels[6 * t + from]! + node;
      });
      const owner = bodies[block.owner[t]!];
      surface.patch[panel] = patchNames.indexOf(owner ? (owner.patch ?? owner.name) : WALL);
      surface.body[panel] = number;
    }
    node += block.nodes.length / 3;
  });
  const areas = patchNames.map(() => 0);
  panelAreas(surface).forEach((a, t) => {
    areas[surface.patch[t]!]! += a;
  });
  return { surface, areas };
}
