import { done, type Outcome, refused } from '../../units/index.js';
import { textOf } from './text.js';

export type PlyType = 'int8' | 'uint8' | 'int16' | 'uint16' | 'int32' | 'uint32' | 'float32' | 'float64';

export interface PlyProperty {
  name: string;
  type: PlyType;
  /** Type of the length that goes before a list; absent for a single number. */
  count?: PlyType;
}

export interface PlyElement {
  name: string;
  count: number;
  properties: PlyProperty[];
}

export interface PlyHeader {
  format: 'ascii' | 'binary_little_endian' | 'binary_big_endian';
  elements: PlyElement[];
  comments: string;
  /** First byte of the data. */
  start: number;
}

const TYPES: Record<string, PlyType> = {
  char: 'int8',
  int8: 'int8',
  uchar: 'uint8',
  uint8: 'uint8',
  short: 'int16',
  int16: 'int16',
  ushort: 'uint16',
  uint16: 'uint16',
  int: 'int32',
  int32: 'int32',
  uint: 'uint32',
  uint32: 'uint32',
  float: 'float32',
  float32: 'float32',
  double: 'float64',
  float64: 'float64',
};

const MOST_HEADER = 1 << 20;

/**
 * The header says how the data is laid out. Its line end matters: after a bare carriage return the data begins at once,
 * even if the first data byte happens to be a line feed.
 */
export function readPlyHeader(bytes: Uint8Array): Outcome<PlyHeader> {
  const lineEnd = bytes[3] === 13 ? (bytes[4] === 10 ? '\r\n' : '\r') : '\n';
  const header: PlyHeader = { format: 'ascii', elements: [], comments: '', start: 0 };
  let formatSeen = false;
  let at = 0;
  for (;;) {
    const end = find(bytes, lineEnd, at);
    if (end < 0 || end > MOST_HEADER)
      return bad('has no line "end_header"', 'The file was probably cut off: fetch or export it again.');
    const line = textOf(bytes, at, end).trim();
    at = end + lineEnd.length;
    const [word, ...rest] = line.split(/\s+/);
    if (word === 'end_header') break;
    if (word === 'comment' || word === 'obj_info') header.comments += `${rest.join(' ')}\n`;
    else if (word === 'format') {
      const format = rest[0];
      if (format !== 'ascii' && format !== 'binary_little_endian' && format !== 'binary_big_endian')
        return bad(`names the unknown format "${format}"`, 'Export it as ASCII or binary PLY 1.0.');
      header.format = format;
      formatSeen = true;
    } else if (word === 'element') {
      const count = Number(rest[1]);
      if (!rest[0] || !Number.isSafeInteger(count) || count < 0)
        return bad(`has an element line that cannot be read: "${line.slice(0, 80)}"`);
      header.elements.push({ name: rest[0], count, properties: [] });
    } else if (word === 'property') {
      const property = readProperty(rest);
      const element = header.elements.at(-1);
      if (!property || !element)
        return bad(`has a property line that cannot be read: "${line.slice(0, 80)}"`);
      element.properties.push(property);
    }
  }
  if (!formatSeen) return bad('does not name its format');
  // An element without properties takes no bytes, so its count would be a loop over nothing.
  header.elements = header.elements.filter((e) => e.properties.length > 0);
  header.start = at;
  return done(header);
}

function readProperty(words: string[]): PlyProperty | undefined {
  const typeOf = (name: string | undefined) => (name && Object.hasOwn(TYPES, name) ? TYPES[name] : undefined);
  if (words[0] === 'list') {
    const [count, type, name] = [typeOf(words[1]), typeOf(words[2]), words[3]];
    return count && type && name ? { name, type, count } : undefined;
  }
  const type = typeOf(words[0]);
  return type && words[1] ? { name: words[1], type } : undefined;
}

function find(bytes: Uint8Array, lineEnd: string, from: number): number {
  const first = lineEnd.charCodeAt(0);
  for (let i = from; i < bytes.length && i <= MOST_HEADER; i++)
    if (bytes[i] === first && (lineEnd.length === 1 || bytes[i + 1] === 10)) return i;
  return -1;
}

const bad = (what: string, hint = 'Export the part again as a PLY mesh.'): Outcome<PlyHeader> =>
  refused({ code: 'header-unreadable', path: '', message: `The header of the PLY file ${what}.`, hint });
