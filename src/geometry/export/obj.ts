import type { TriangleMesh } from '../surface.js';

/** Groups of an OBJ file: a name per number and the number of each triangle. */
export interface Grouping {
  group: ArrayLike<number>;
  groupNames: string[];
}

/** OBJ text in metres with all digits; one `g` line where the group changes. */
export function writeObj({ vertices, triangles }: TriangleMesh, grouping?: Grouping): string {
  const lines = ['# units = m'];
  for (let i = 0; i < vertices.length; i += 3)
    lines.push(`v ${vertices[i]} ${vertices[i + 1]} ${vertices[i + 2]}`);
  let group = -1;
  for (let t = 0; t < triangles.length / 3; t++) {
    const next = grouping ? grouping.group[t]! : -1;
    if (next !== group) lines.push(`g ${grouping!.groupNames[next]!.replace(/\s+/g, '_')}`);
    group = next;
    lines.push(`f ${triangles[3 * t]! + 1} ${triangles[3 * t + 1]! + 1} ${triangles[3 * t + 2]! + 1}`);
  }
  return `${lines.join('\n')}\n`;
}
