import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  CylinderGeometry,
  DoubleSide,
  EdgesGeometry,
  Group,
  LineBasicMaterial,
  LineSegments,
  Mesh,
  MeshBasicMaterial,
  MeshLambertMaterial,
  type Object3D,
} from 'three';
import type { SceneBody, SceneMesh, ScenePart, SceneVessel } from './content.js';
import { creasedNormals } from './normals.js';

/** Edges blunter than this are shaded round. */
const CREASE = (35 * Math.PI) / 180;

/**
 * Vertices split where the surface is sharp, or where `group` (a number a triangle) changes, and shared everywhere else:
 * a smooth part keeps about half a vertex a triangle, which is what software rendering pays for.
 */
function geometryOf({ positions, triangles }: SceneMesh, group?: ArrayLike<number>) {
  const normals = creasedNormals(positions, triangles, CREASE);
  const first = new Int32Array(positions.length / 3).fill(-1);
  const next: number[] = [];
  const corner: number[] = [];
  const index = new Uint32Array(triangles.length);
  const same = (c: number, d: number) =>
    normals[3 * c] === normals[3 * d] &&
    normals[3 * c + 1] === normals[3 * d + 1] &&
    normals[3 * c + 2] === normals[3 * d + 2] &&
    group?.[Math.floor(c / 3)] === group?.[Math.floor(d / 3)];
  for (let c = 0; c < triangles.length; c++) {
    const v = triangles[c]!;
    let found = first[v]!;
    while (found >= 0 && !same(corner[found]!, c)) found = next[found]!;
    if (found < 0) {
      found = corner.length;
      corner.push(c);
      next.push(first[v]!);
      first[v] = found;
    }
    index[c] = found;
  }
  const gather = (source: ArrayLike<number>, at: (c: number) => number) => {
    const out = new Float32Array(3 * corner.length);
    corner.forEach((c, u) => {
      for (let k = 0; k < 3; k++) out[3 * u + k] = source[3 * at(c) + k]!;
    });
    return new BufferAttribute(out, 3);
  };
  const geometry = new BufferGeometry();
  geometry.setAttribute(
    'position',
    gather(positions, (c) => triangles[c]!),
  );
  geometry.setAttribute(
    'normal',
    gather(normals, (c) => c),
  );
  geometry.setIndex(new BufferAttribute(index, 1));
  return { geometry, corner };
}

/** The part with the fields its material reads. */
export function partGeometry(part: ScenePart): BufferGeometry {
  const { geometry, corner } = geometryOf(part, part.significant);
  const field = (value: (vertex: number, triangle: number) => number) =>
    new BufferAttribute(
      Float32Array.from(corner, (c) => value(part.triangles[c]!, Math.floor(c / 3))),
      1,
    );
  geometry.setAttribute(
    'thickness',
    field((v) => part.thickness?.[v] ?? 0),
  );
  geometry.setAttribute(
    'bare',
    field((v) => (part.flag?.[v] === 1 ? 1 : 0)),
  );
  geometry.setAttribute(
    'burnt',
    field((v) => (part.flag?.[v] === 2 ? 1 : 0)),
  );
  geometry.setAttribute(
    'significant',
    field((_, t) => part.significant?.[t] ?? 1),
  );
  return geometry;
}

const COLOUR: Record<SceneBody['role'], number> = {
  hook: 0xb9835a,
  anode: 0x8f9aa0,
  shield: 0xe3dcc8,
  robber: 0xb3b9c6,
};

export function bodyObject(body: SceneBody): Object3D {
  const mesh = new Mesh(
    geometryOf(body).geometry,
    new MeshLambertMaterial({ color: COLOUR[body.role], side: DoubleSide }),
  );
  mesh.name = body.name;
  return mesh;
}

/** Glass as its edges, liquid as a tint that lets everything through. */
export function vesselObject(vessel: SceneVessel, ink: string, liquid: string): Object3D {
  const group = new Group();
  const shell = (height: number, shrink: number): BufferGeometry => {
    const geometry =
      'diameter' in vessel
        ? new CylinderGeometry(
            (vessel.diameter / 2) * shrink,
            (vessel.diameter / 2) * shrink,
            height,
            72,
            1,
            false,
          ).rotateX(Math.PI / 2)
        : new BoxGeometry(vessel.x * shrink, vessel.y * shrink, height);
    return geometry.translate(0, 0, height / 2);
  };
  const glass = shell(vessel.height, 1);
  const edges = new LineSegments(
    new EdgesGeometry(glass, 30),
    new LineBasicMaterial({ color: ink, transparent: true, opacity: 0.55 }),
  );
  glass.dispose();
  group.add(edges);
  const level = Math.min(vessel.level, vessel.height);
  if (level > 0) {
    const body = new Mesh(
      shell(level, 0.995),
      new MeshBasicMaterial({
        color: liquid,
        transparent: true,
        opacity: 0.14,
        depthWrite: false,
        side: DoubleSide,
      }),
    );
    body.renderOrder = 2;
    group.add(body);
    const rim = new LineSegments(
      new EdgesGeometry(shell(level, 0.995), 30),
      new LineBasicMaterial({ color: liquid, transparent: true, opacity: 0.8 }),
    );
    group.add(rim);
  }
  return group;
}

/** Frees what an object and its children hold on the graphics card. */
export function release(object: Object3D): void {
  object.traverse((node) => {
    const { geometry, material } = node as Partial<Mesh>;
    geometry?.dispose();
    for (const m of [material].flat()) m?.dispose();
  });
  object.removeFromParent();
}
