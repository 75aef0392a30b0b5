import { done, type Outcome, refused } from '../../units/index.js';
import { entry, isObject, type Json } from './gltf-container.js';

/** A 4 x 4 matrix, column after column as glTF writes it. */
export type Matrix = number[];

export interface PlacedMesh {
  mesh: number;
  name: string;
  skinned: boolean;
  matrix: Matrix;
  /** Attributes of EXT_mesh_gpu_instancing, if the node places many copies. */
  instances?: Json;
}

const DEEPEST = 200;
const MOST_VISITS = 100_000;
const IDENTITY: Matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

/** A node on the way down, with the nodes above it. */
interface Visit {
  node: number;
  matrix: Matrix;
  depth: number;
  above: Visit | undefined;
}

/**
 * Walks the scene shown by default and lists its meshes with their full transforms. The standard wants a tree; files
 * that hang one node below several others are common and mean copies, so only circles are refused.
 */
export function placedMeshes(json: Json): Outcome<PlacedMesh[]> {
  const placed: PlacedMesh[] = [];
  const stack: Visit[] = rootNodes(json)
    .reverse()
    .map((node) => ({ node, matrix: IDENTITY, depth: 0, above: undefined }));
  for (let visits = 0; stack.length; visits++) {
    const visit = stack.pop()!;
    const { node, matrix, depth } = visit;
    const source = entry(json, 'nodes', node);
    if (!source) return bad(`The scene names node ${String(node).slice(0, 20)}, which does not exist.`);
    for (let up = visit.above; up; up = up.above)
      if (up.node === node) return bad(`Node ${node} contains itself.`);
    if (depth > DEEPEST) return bad(`The nodes are nested more than ${DEEPEST} deep.`);
    if (visits > MOST_VISITS) return bad(`The scene places more than ${MOST_VISITS} nodes.`);
    const own = nodeMatrix(source);
    if (!own) return bad(`Node ${node} has a transform that is not made of numbers.`);
    const world = multiply(matrix, own);
    if (Number.isInteger(source.mesh)) {
      const mesh = entry(json, 'meshes', source.mesh);
      if (!mesh) return bad(`Node ${node} names mesh ${String(source.mesh)}, which does not exist.`);
      const instancing = isObject(source.extensions) ? source.extensions.EXT_mesh_gpu_instancing : undefined;
      placed.push({
        mesh: source.mesh as number,
        name: text(source.name) || text(mesh.name) || `mesh ${String(source.mesh)}`,
        skinned: source.skin !== undefined,
        matrix: world,
        ...(isObject(instancing) && isObject(instancing.attributes) && { instances: instancing.attributes }),
      });
    }
    if (Array.isArray(source.children))
      for (const child of [...source.children].reverse())
        stack.push({ node: child, matrix: world, depth: depth + 1, above: visit });
  }
  return done(placed);
}

const text = (value: unknown): string => (typeof value === 'string' ? value.slice(0, 200) : '');

/** The nodes of the default scene; without scenes, the nodes that are nobody's child. */
function rootNodes(json: Json): number[] {
  const scene = entry(json, 'scenes', json.scene ?? 0) ?? entry(json, 'scenes', 0);
  if (scene) return Array.isArray(scene.nodes) ? scene.nodes : [];
  const nodes = Array.isArray(json.nodes) ? json.nodes : [];
  const children = new Set(
    nodes.flatMap((n) => (isObject(n) && Array.isArray(n.children) ? n.children : [])),
  );
  return nodes.map((_, i) => i).filter((i) => !children.has(i));
}

function nodeMatrix(node: Json): Matrix | undefined {
  if (node.matrix !== undefined) return numbers(node.matrix, 16);
  const t = node.translation === undefined ? [0, 0, 0] : numbers(node.translation, 3);
  const r = node.rotation === undefined ? [0, 0, 0, 1] : numbers(node.rotation, 4);
  const s = node.scale === undefined ? [1, 1, 1] : numbers(node.scale, 3);
  return t && r && s && compose(t, r, s);
}

const numbers = (value: unknown, count: number): number[] | undefined =>
  Array.isArray(value) &&
  value.length === count &&
  value.every((x) => typeof x === 'number' && Number.isFinite(x))
    ? value
    : undefined;

/** Scale, then turn by the quaternion x y z w, then shift. */
export function compose(t: ArrayLike<number>, r: ArrayLike<number>, s: ArrayLike<number>): Matrix {
  const length = Math.hypot(r[0]!, r[1]!, r[2]!, r[3]!) || 1;
  const [x, y, z, w] = [r[0]! / length, r[1]! / length, r[2]! / length, r[3]! / length];
  return [
    (1 - 2 * (y * y + z * z)) * s[0]!,
    2 * (x * y + z * w) * s[0]!,
    2 * (x * z - y * w) * s[0]!,
    0,
    2 * (x * y - z * w) * s[1]!,
    (1 - 2 * (x * x + z * z)) * s[1]!,
    2 * (y * z + x * w) * s[1]!,
    0,
    2 * (x * z + y * w) * s[2]!,
    2 * (y * z - x * w) * s[2]!,
    (1 - 2 * (x * x + y * y)) * s[2]!,
    0,
    t[0]!,
    t[1]!,
    t[2]!,
    1,
  ];
}

export function multiply(a: Matrix, b: Matrix): Matrix {
  const out: Matrix = [];
  for (let column = 0; column < 4; column++)
    for (let row = 0; row < 4; row++)
      out.push([0, 1, 2, 3].reduce((sum, k) => sum + a[4 * k + row]! * b[4 * column + k]!, 0));
  return out;
}

export const turnsLeft = (m: Matrix): boolean =>
  m[0]! * (m[5]! * m[10]! - m[6]! * m[9]!) -
    m[4]! * (m[1]! * m[10]! - m[2]! * m[9]!) +
    m[8]! * (m[1]! * m[6]! - m[2]! * m[5]!) <
  0;

const bad = (message: string): Outcome<PlacedMesh[]> =>
  refused({ code: 'scene-unsound', path: '', message, hint: 'Export the part again, only the part itself.' });
