import { place, type TriangleMesh } from '../../geometry/index.js';
import type { Job } from '../../job/index.js';
import { meshOf, placeJob } from '../../job/place.js';
import { done, type Outcome } from '../../units/index.js';
import type { SceneBody, SceneContent, SceneVessel } from '../scene/index.js';
import type { Preview } from './messages.js';

/** The set-up as it stands in the vessel, before anything is solved: what the person sees while arranging it. */
export function previewOf(job: Job, files: ReadonlyMap<string, TriangleMesh>): Outcome<Preview> {
  const placed = placeJob(job, files);
  if (!placed.ok) return placed;
  const { spec } = placed.value;
  const scene: SceneContent = { bodies: [], vessel: vesselOf(job) };
  let partSize: [number, number, number] = [0, 0, 0];
  for (const body of spec.bodies) {
    const mesh = meshOf(body.form);
    const positions = new Float32Array(mesh.vertices.length);
    const [low, high] = [
      [Infinity, Infinity, Infinity],
      [-Infinity, -Infinity, -Infinity],
    ];
    for (let i = 0; i < positions.length; i += 3) {
      const p = place(body.placement, [mesh.vertices[i]!, mesh.vertices[i + 1]!, mesh.vertices[i + 2]!]);
      positions.set(p, i);
      p.forEach((x, k) => {
        low[k] = Math.min(low[k]!, x);
        high[k] = Math.max(high[k]!, x);
      });
    }
    const triangles = Uint32Array.from(mesh.triangles);
    if (body.role === 'part') {
      scene.part = { positions, triangles };
      partSize = high.map((x, k) => x - low[k]!) as [number, number, number];
    } else if (body.role !== 'clip')
      scene.bodies.push({ name: body.name, role: body.role, positions, triangles } as SceneBody);
  }
  return done({ scene, partSize });
}

/** The vessel by its inside measures; the liquid line without what the bodies displace when a volume is given. */
export function vesselOf(job: Job): SceneVessel {
  const { vessel } = job;
  const round = vessel.diameter !== undefined;
  const area = round ? (Math.PI / 4) * vessel.diameter! ** 2 : (vessel.length ?? 0) * (vessel.width ?? 0);
  const level = vessel.depth ?? (vessel.volume ?? 0) / area;
  const common = { height: vessel.height, level: Math.min(level, vessel.height) };
  return round
    ? { ...common, diameter: vessel.diameter! }
    : { ...common, x: vessel.length ?? 0, y: vessel.width ?? 0 };
}
