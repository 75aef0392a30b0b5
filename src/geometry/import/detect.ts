import { done, type Outcome, refused } from '../../units/index.js';
import type { Format } from './file.js';
import { textOf } from './text.js';

/** Other files people bring, told by their first bytes, so that the refusal can say what they are. */
const OTHERS: [RegExp, string][] = [
  [/^ISO-10303-21/, 'a STEP file, which holds curved surfaces'],
  [/^.{72}S {6}1/s, 'an IGES file, which holds curved surfaces'],
  [/^\xd0\xcf/, 'a document of one particular CAD or office program'],
  [/^Kaydara FBX/, 'an FBX scene'],
  [/^BLENDER/, 'a scene of a modelling program'],
  [/^OFF\s/, 'an OFF mesh'],
  [/^#VRML/, 'a VRML scene'],
  [/^#X3D|<X3D/, 'an X3D scene'],
  [/<amf[\s>]/i, 'an AMF file'],
  [/<COLLADA/, 'a COLLADA scene'],
  [/^\s*0\s+SECTION/, 'a DXF drawing'],
  [/^AC10\d\d/, 'a DWG drawing'],
  [/^%PDF/, 'a PDF document'],
  [/^\x89PNG|^\xff\xd8\xff|^GIF8/, 'a picture'],
  [/^.\x8b|^7z\xbc\xaf|^Rar!/s, 'a packed archive'],
  [/^[;\s]*(G\d+|M\d+)\b/m, 'a machine program'],
];

const ENDINGS: Record<string, Format> = {
  stl: 'stl',
  stla: 'stl',
  stlb: 'stl',
  obj: 'obj',
  ply: 'ply',
  glb: 'gltf',
  gltf: 'gltf',
  '3mf': '3mf',
};

/** Tells the format from the bytes; the name decides only where they leave it open. */
export function detectFormat(name: string, bytes: Uint8Array): Outcome<Format> {
  if (bytes.length === 0)
    return refused({
      code: 'file-empty',
      path: '',
      message: 'The file is empty (0 bytes).',
      hint: 'Copy or export the file again.',
    });
  const head = textOf(bytes, 0, Math.min(bytes.length, 4096)).replace(/^\u00ef\u00bb\u00bf/, '');
  const ending = /\.([a-z0-9]+)$/i.exec(name)?.[1]?.toLowerCase() ?? '';
  const named = Object.hasOwn(ENDINGS, ending) ? ENDINGS[ending] : undefined;
  if (head.startsWith('glTF')) return done('gltf');
  if (/^ply\s/.test(head)) return done('ply');
  if (head.startsWith('PK\u0003\u0004') || head.startsWith('PK\u0005\u0006')) return done('3mf');
  if (/^\s*\{/.test(head)) return done('gltf');
  if (binaryStlSize(bytes)) return done('stl');
  const other = OTHERS.find(([pattern]) => pattern.test(head));
  if (other) return refused(notRead(`The file is ${other[1]}.`));
  if (/^\s*(solid\b[^\r\n]*\s)?facet\s+normal/i.test(head)) return done('stl');
  if (/^v[ \t]+[-+.\d]+[ \t]/m.test(head) && !head.includes('\0')) return done('obj');
  if (named) return done(named);
  if (/^\s*solid\b/i.test(head)) return done('stl');
  if (/^(f|vn|vt|g|o|mtllib)\s/m.test(head)) return done('obj');
  return refused(
    notRead(`The file${ending ? ` ("${ending.slice(0, 12)}")` : ''} is none of the kinds that are read.`),
  );
}

function binaryStlSize(bytes: Uint8Array): boolean {
  if (bytes.length < 84) return false;
  const count = new DataView(bytes.buffer, bytes.byteOffset).getUint32(80, true);
  return count > 0 && bytes.length === 84 + 50 * count;
}

const notRead = (message: string) => ({
  code: 'format-not-read',
  path: '',
  message,
  hint: 'Export the part as STL, OBJ, PLY, GLB or 3MF from the program it was drawn in.',
});

/** Text that some programs save with two bytes a character, as one byte a character; other files unchanged. */
export function singleByte(bytes: Uint8Array): Uint8Array {
  const [first, second] = bytes;
  const low = first === 0xff && second === 0xfe ? 0 : first === 0xfe && second === 0xff ? 1 : -1;
  if (low < 0) return bytes;
  // A binary file may begin so by chance; in text the other byte of nearly every character is zero.
  const count = (bytes.length >> 1) - 1;
  const out = new Uint8Array(count);
  let wide = 0;
  for (let i = 0; i < count; i++) {
    out[i] = bytes[2 + 2 * i + low]!;
    if (bytes[3 + 2 * i - low] !== 0) wide++;
  }
  return wide <= count / 10 ? out : bytes;
}
