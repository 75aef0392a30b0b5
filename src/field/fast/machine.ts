import { ALONE, SHARED } from '../wasm/kernels.generated.js';

/** The loops of src/field/wasm: each works on the entries [from, to) of a list of the plan, with the thread's scratch. */
export type Kernel = (plan: number, from: number, to: number, scratch: number) => void;
export type KernelName =
  | 'gather'
  | 'spread'
  | 'lift'
  | 'transfer'
  | 'into'
  | 'lower'
  | 'finish'
  | 'finishGradient'
  | 'nearIntegrals'
  | 'nearApply';
export const KERNELS: readonly KernelName[] = [
  'gather',
  'spread',
  'lift',
  'transfer',
  'into',
  'lower',
  'finish',
  'finishGradient',
  'nearIntegrals',
  'nearApply',
];
export type Kernels = Record<KernelName, Kernel>;

/** What is used of a WebAssembly.Memory; the engine is compiled without the types of browser or Node. */
export interface Memory {
  readonly buffer: ArrayBufferLike;
  grow(pages: number): number;
}

interface WebAssemblyGlobal {
  Module: new (bytes: Uint8Array) => object;
  Instance: new (module: object, imports: { env: { memory: Memory } }) => { exports: Kernels };
  Memory: new (size: { initial: number; maximum: number; shared?: boolean }) => Memory;
}
const { WebAssembly, atob } = globalThis as unknown as {
  WebAssembly: WebAssemblyGlobal;
  atob(text: string): string;
};

export const PAGE_BYTES = 65536;
/** 2 GB: the most a plan may need, and what keeps every address a positive 32-bit integer. */
const MAX_PAGES = 32768;

/** A memory of at least that many bytes. */
export const newMemory = (bytes: number, shared: boolean): Memory =>
  new WebAssembly.Memory({
    initial: Math.ceil(bytes / PAGE_BYTES),
    maximum: MAX_PAGES,
    ...(shared ? { shared } : {}),
  });

const compiled = new Map<string, object>();

/** The kernels over a memory. Compiled once a thread. */
export function kernelsFor(memory: Memory, shared: boolean): Kernels {
  const text = shared ? SHARED : ALONE;
  let module = compiled.get(text);
  if (!module) {
    module = new WebAssembly.Module(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)));
    compiled.set(text, module);
  }
  return new WebAssembly.Instance(module, { env: { memory } }).exports;
}
