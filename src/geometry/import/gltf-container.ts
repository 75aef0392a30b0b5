import { strFromU8 } from 'fflate';
import { done, type Outcome, refused } from '../../units/index.js';

/** JSON of unknown shape: everything a file says is checked where it is used. */
export type Json = Record<string, unknown>;

/** The two halves of a glTF file: its JSON and, for GLB, the binary chunk. */
export interface GltfContainer {
  json: Json;
  binary?: Uint8Array;
}

const GLB_MAGIC = 0x46546c67;
const CHUNK_JSON = 0x4e4f534a;
const CHUNK_BIN = 0x004e4942;

/** Opens GLB or plain glTF 2.0 (Khronos glTF 2.0 specification, section 4, binary layout). */
export function openGltf(bytes: Uint8Array): Outcome<GltfContainer> {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 4 || view.getUint32(0, true) !== GLB_MAGIC) return parse(bytes);
  if (bytes.length < 20) return bad('The GLB file ends inside its header.');
  const version = view.getUint32(4, true);
  if (version !== 2) return bad(`The GLB file is of version ${version}; version 2 is read.`);
  const stated = view.getUint32(8, true);
  if (stated > bytes.length) return bad(`The GLB file announces ${stated} bytes but has ${bytes.length}.`);
  let json: Uint8Array | undefined;
  let binary: Uint8Array | undefined;
  for (let at = 12; at + 8 <= stated; ) {
    const length = view.getUint32(at, true);
    const type = view.getUint32(at + 4, true);
    if (at + 8 + length > bytes.length) return bad('A chunk of the GLB file runs past its end.');
    const chunk = bytes.subarray(at + 8, at + 8 + length);
    if (type === CHUNK_JSON) json ??= chunk;
    else if (type === CHUNK_BIN) binary ??= chunk;
    at += 8 + length;
  }
  if (!json) return bad('The GLB file has no JSON chunk.');
  const parsed = parse(json);
  return parsed.ok && binary ? done({ ...parsed.value, binary }) : parsed;
}

function parse(bytes: Uint8Array): Outcome<GltfContainer> {
  let json: unknown;
  try {
    json = JSON.parse(strFromU8(bytes).replace(/^\ufeff/, ''));
  } catch {
    return bad('The JSON inside the glTF file cannot be read.');
  }
  if (!isObject(json) || !isObject(json.asset))
    return bad('The file is JSON but not glTF: it names no asset.');
  const version = String(json.asset.version ?? '');
  if (!version.startsWith('2'))
    return bad(`The glTF file is of version "${version.slice(0, 20)}"; version 2 is read.`);
  return done({ json });
}

export const isObject = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);

/** Entry of a top-level list of the file, if it is there and an object. */
export function entry(json: Json, list: string, index: unknown): Json | undefined {
  const items = json[list];
  const found = Array.isArray(items) && Number.isInteger(index) ? items[index as number] : undefined;
  return isObject(found) ? found : undefined;
}

/** A whole number from 0 on, or the fallback where nothing is said; undefined if it is something else. */
export function whole(value: unknown, fallback?: number): number | undefined {
  if (value === undefined) return fallback;
  return Number.isSafeInteger(value) && (value as number) >= 0 ? (value as number) : undefined;
}

const bad = (message: string): Outcome<GltfContainer> =>
  refused({ code: 'gltf-unreadable', path: '', message, hint: 'Copy or export the file again.' });
