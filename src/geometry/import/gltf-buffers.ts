import { strToU8 } from 'fflate';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import type { PartFile, ReadLimits } from './file.js';
import { type Json, whole } from './gltf-container.js';

/** Fetches the bytes of the buffers a file needs: the GLB chunk, data URIs, and files beside it. */
export async function loadBuffers(
  buffers: Json[],
  binary: Uint8Array | undefined,
  file: PartFile,
  limits: ReadLimits,
): Promise<Outcome<Uint8Array[]>> {
  const loaded: Uint8Array[] = [];
  let total = file.bytes.length;
  for (const buffer of buffers) {
    const bytes = await load(buffer, binary, file);
    if (!bytes.ok) return bytes;
    total += bytes.value.length;
    if (total > limits.bytes)
      return refused(bad(`The file and what belongs to it are larger than ${limits.bytes / 2 ** 20} MiB.`));
    if (bytes.value.length < whole(buffer.byteLength, 0)!)
      return refused(
        bad(`A buffer announces ${String(buffer.byteLength)} bytes but has ${bytes.value.length}.`),
      );
    loaded.push(bytes.value);
  }
  return done(loaded);
}

async function load(
  buffer: Json,
  binary: Uint8Array | undefined,
  file: PartFile,
): Promise<Outcome<Uint8Array>> {
  const uri = buffer.uri;
  if (uri === undefined) {
    // Only the first buffer of a GLB may live in its binary chunk.
    return binary && buffer.index === 0
      ? done(binary)
      : refused(bad('The file lacks the binary data it refers to.'));
  }
  if (typeof uri !== 'string') return refused(bad('A buffer has an address that is no text.'));
  if (uri.startsWith('data:')) return dataUri(uri);
  const name = siblingName(uri);
  if (!name)
    return refused({
      code: 'address-refused',
      path: '',
      message: `The file asks for "${uri.slice(0, 80)}", which lies outside its own folder. Nothing was read from there.`,
      hint: 'Export the part as one GLB file, which holds everything.',
    });
  const bytes = await file.sibling?.(name);
  return bytes
    ? done(bytes)
    : refused({
        code: 'file-beside-missing',
        path: '',
        message: `The file needs "${name.slice(0, 80)}" beside it, which is not there.`,
        hint: 'Bring both files together, or export the part as one GLB file.',
      });
}

/** A relative file name without any way out of its folder; undefined for everything else. */
export function siblingName(uri: string): string | undefined {
  let name: string;
  try {
    name = decodeURIComponent(uri);
  } catch {
    return undefined;
  }
  if (name === '' || name.length > 500 || name.includes('\0')) return undefined;
  if (/^[a-z][a-z0-9+.-]*:/i.test(name) || name.startsWith('/') || name.includes('\\')) return undefined;
  const parts = name.split('/').filter((part) => part !== '.' && part !== '');
  return parts.length === 0 || parts.includes('..') ? undefined : parts.join('/');
}

function dataUri(uri: string): Outcome<Uint8Array> {
  const comma = uri.indexOf(',');
  const head = uri.slice(0, comma);
  if (comma < 0) return refused(bad('A data address has no data.'));
  if (head.endsWith(';base64')) {
    const bytes = decodeBase64(uri, comma + 1);
    return bytes ? done(bytes) : refused(bad('A data address is not sound base64.'));
  }
  try {
    return done(strToU8(decodeURIComponent(uri.slice(comma + 1)), true));
  } catch {
    return refused(bad('A data address cannot be read.'));
  }
}

const ALPHABET = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
const SIX_BITS = new Int16Array(128).fill(-1);
for (let i = 0; i < 64; i++) SIX_BITS[ALPHABET.charCodeAt(i)] = i;

/** Base64 from a place in a text; undefined on a character that is none (RFC 4648, section 4). */
function decodeBase64(text: string, from: number): Uint8Array | undefined {
  let end = text.length;
  while (end > from && text[end - 1] === '=') end--;
  const out = new Uint8Array(Math.floor(((end - from) * 3) / 4));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let i = from; i < end; i++) {
    const six = SIX_BITS[text.charCodeAt(i)] ?? -1;
    if (six < 0) return undefined;
    bits = ((bits << 6) | six) & 0xffffff;
    held += 6;
    if (held >= 8) {
      held -= 8;
      out[at++] = (bits >> held) & 255;
    }
  }
  return out;
}

const bad = (message: string): Problem => ({
  code: 'gltf-inconsistent',
  path: '',
  message,
  hint: 'The file is damaged: copy or export it again.',
});
