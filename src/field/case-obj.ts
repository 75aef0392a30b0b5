import type { Problem } from '../units/index.js';
import type { NamedTriangles } from './case-surface.js';

/**
 * Vertices and faces of an OBJ file in metres, one patch a group (`g`, or `o` where there are no groups). Polygons are cut
 * into fans. Everything else of the format (normals, textures, materials) says nothing about a field and is passed over.
 */
export function readObjPatches(text: string, problems: Problem[]): NamedTriangles | null {
  const vertices: number[] = [];
  const triangles: number[] = [];
  const patch: string[] = [];
  let group = 'default';
  const before = problems.length;
  const complain = (line: number, code: string, message: string): void => {
    if (problems.length - before < 5) problems.push({ code, path: `line ${line}`, message });
  };
  const lines = text.split('\n');
  const named = lines.some((line) => /^g\s+\S/.test(line)) ? 'g' : 'o';
  for (const [at, line] of lines.entries()) {
    const words = line.trim().split(/\s+/);
    if (words[0] === named) group = words.slice(1).join(' ') || 'default';
    else if (words[0] === 'v') {
      const point = words.slice(1, 4).map(Number);
      if (point.length === 3 && point.every(Number.isFinite)) vertices.push(...point);
      else
        complain(
          at + 1,
          'vertex-not-finite',
          `"${line.trim().slice(0, 60)}" is not a vertex of three finite numbers.`,
        );
    } else if (words[0] === 'f') {
      const count = vertices.length / 3;
      const corners = words.slice(1).map((word) => {
        const k = Number.parseInt(word, 10);
        return k < 0 ? count + k : k - 1;
      });
      if (corners.length < 3 || corners.some((k) => !(k >= 0 && k < count))) {
        complain(
          at + 1,
          'index-out-of-range',
          `"${line.trim().slice(0, 60)}" is not a face over the ${count} vertices read so far.`,
        );
        continue;
      }
      for (let k = 1; k + 1 < corners.length; k++) {
        triangles.push(corners[0], corners[k], corners[k + 1]);
        patch.push(group);
      }
    }
  }
  if (patch.length === 0 && problems.length === before)
    complain(1, 'surface-empty', 'The OBJ file has no faces.');
  if (problems.length > before) return null;
  return { vertices: Float64Array.from(vertices), triangles: Int32Array.from(triangles), patch };
}
