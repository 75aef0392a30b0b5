import type { TriangleMesh } from '../surface.js';

/** A value per triangle, written beside the faces, e.g. thickness [m]. */
export interface FaceValues {
  /** A plain word; PLY names have no blanks. */
  name: string;
  values: ArrayLike<number>;
}

/** Binary little-endian PLY in double precision, in metres, with any number of values per triangle. */
export function writePly({ vertices, triangles }: TriangleMesh, faceValues: FaceValues[] = []): Uint8Array {
  const faces = triangles.length / 3;
  const header = [
    'ply',
    'format binary_little_endian 1.0',
    'comment units = m',
    `element vertex ${vertices.length / 3}`,
    ...['x', 'y', 'z'].map((axis) => `property double ${axis}`),
    `element face ${faces}`,
    'property list uchar uint vertex_indices',
    ...faceValues.map(({ name }) => `property double ${name}`),
    'end_header',
    '',
  ].join('\n');
  const record = 13 + 8 * faceValues.length;
  const bytes = new Uint8Array(header.length + 8 * vertices.length + record * faces);
  for (let i = 0; i < header.length; i++) bytes[i] = header.charCodeAt(i);
  const view = new DataView(bytes.buffer);
  let at = header.length;
  for (const x of vertices) {
    view.setFloat64(at, x, true);
    at += 8;
  }
  for (let t = 0; t < faces; t++) {
    view.setUint8(at, 3);
    for (let k = 0; k < 3; k++) view.setUint32(at + 1 + 4 * k, triangles[3 * t + k]!, true);
    faceValues.forEach(({ values }, i) => {
      view.setFloat64(at + 13 + 8 * i, values[t]!, true);
    });
    at += record;
  }
  return bytes;
}
