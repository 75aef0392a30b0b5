import type { Problem } from '../../units/index.js';
import { type MeshReading, type ReadLimits, tooManyTriangles } from './file.js';

/** Collects placed copies of meshes from a scene (glTF, 3MF) into one list of triangles, within the limits. */
export class Assembly {
  private readonly vertices: Float64Array[] = [];
  private readonly triangles: Uint32Array[] = [];
  private readonly groups: { group: number; count: number }[] = [];
  private readonly names: string[] = [];
  private readonly numbers = new Map<string, number>();
  private vertexCount = 0;
  private badIndex = 0;
  private instances = 0;
  triangleCount = 0;

  constructor(private readonly limits: ReadLimits) {}

  /** Counts one placed object, mesh or not; a tree of references can grow without bound while its file stays small. */
  countInstance(): Problem | undefined {
    return ++this.instances > this.limits.instances
      ? {
          code: 'too-many-instances',
          path: '',
          message: `The file places more than ${this.limits.instances} copies of its objects.`,
          hint: 'Export only the part itself.',
        }
      : undefined;
  }

  /**
   * @param vertices final positions, kept (not copied)
   * @param indices three a triangle; triangles that name a missing vertex are left out and counted
   * @param mirrored the placement turns right into left, so the winding is turned back
   */
  add(
    vertices: Float64Array,
    indices: ArrayLike<number>,
    name: string,
    mirrored: boolean,
  ): Problem | undefined {
    const count = vertices.length / 3;
    const triangles = new Uint32Array(3 * Math.floor(indices.length / 3));
    let kept = 0;
    for (let i = 0; i + 2 < indices.length; i += 3) {
      const [a, b, c] = [indices[i]!, indices[i + 1]!, indices[i + 2]!];
      if (![a, b, c].every((v) => Number.isInteger(v) && v >= 0 && v < count)) {
        this.badIndex++;
        continue;
      }
      triangles[kept++] = a + this.vertexCount;
      triangles[kept++] = (mirrored ? c : b) + this.vertexCount;
      triangles[kept++] = (mirrored ? b : c) + this.vertexCount;
    }
    if (kept === 0) return undefined;
    this.triangleCount += kept / 3;
    if (this.triangleCount > this.limits.triangles) return tooManyTriangles(this.triangleCount, this.limits);
    // Vertices may be many where triangles are few; both are bounded.
    this.vertexCount += count;
    if (this.vertexCount > 6 * this.limits.triangles)
      return tooManyTriangles(this.vertexCount / 3, this.limits);
    this.vertices.push(vertices);
    this.triangles.push(triangles.subarray(0, kept));
    this.groups.push({ group: this.number(name), count: kept / 3 });
    return undefined;
  }

  result(): Pick<MeshReading, 'vertices' | 'triangles' | 'group' | 'groupNames' | 'dropped'> {
    const vertices = new Float64Array(3 * this.vertexCount);
    const triangles = new Uint32Array(3 * this.triangleCount);
    const group = new Int32Array(this.triangleCount);
    let at = 0;
    for (const part of this.vertices) {
      vertices.set(part, at);
      at += part.length;
    }
    at = 0;
    this.triangles.forEach((part, i) => {
      triangles.set(part, at);
      group.fill(this.groups[i]!.group, at / 3, at / 3 + this.groups[i]!.count);
      at += part.length;
    });
    const dropped = this.badIndex ? [{ kind: 'bad-index-faces', count: this.badIndex }] : [];
    return { vertices, triangles, group, groupNames: this.names, dropped };
  }

  private number(name: string): number {
    let number = this.numbers.get(name);
    if (number === undefined) {
      number = this.names.length;
      this.names.push(name);
      this.numbers.set(name, number);
    }
    return number;
  }
}
