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
import { toCreasedNormals } from 'three/examples/jsm/utils/BufferGeometryUtils.js';
import type { SceneBody, SceneMesh, ScenePart, SceneVessel } from './content.js';

/** Edges blunter than this are shaded round. */
const CREASE = (35 * Math.PI) / 180;

const geometryOf = ({ positions, triangles }: SceneMesh): BufferGeometry => {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(positions, 3));
  geometry.setIndex(new BufferAttribute(triangles, 1));
  return geometry;
};

/** The part, one corner per vertex, with the fields its material reads. */
export function partGeometry(part: ScenePart): BufferGeometry {
  const indexed = geometryOf(part);
  const geometry = toCreasedNormals(indexed, CREASE);
  indexed.dispose();
  const corners = part.triangles.length;
  const perCorner = (value: (vertex: number, corner: number) => number) => {
    const out = new Float32Array(corners);
    for (let c = 0; c < corners; c++) out[c] = value(part.triangles[c]!, c);
    return new BufferAttribute(out, 1);
  };
  geometry.setAttribute(
    'thickness',
    perCorner((v) => part.thickness?.[v] ?? 0),
  );
  geometry.setAttribute(
    'bare',
    perCorner((v) => (part.flag?.[v] === 1 ? 1 : 0)),
  );
  geometry.setAttribute(
    'burnt',
    perCorner((v) => (part.flag?.[v] === 2 ? 1 : 0)),
  );
  geometry.setAttribute(
    'significant',
    perCorner((_, c) => part.significant?.[Math.floor(c / 3)] ?? 1),
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
  const indexed = geometryOf(body);
  const geometry = toCreasedNormals(indexed, CREASE);
  indexed.dispose();
  const mesh = new Mesh(geometry, new MeshLambertMaterial({ color: COLOUR[body.role], side: DoubleSide }));
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
