import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fastOperator, soloCrew } from '../src/field/fast/index.js';
import { cloudOf, setUp } from '../src/field/fast/testing/clouds.js';
import { plainOperator } from '../src/field/operator.js';
import { type Bench, quickest } from './bench.js';

/** What is used of WebAssembly, which the types of Node leave out. */
interface WebAssemblyGlobal {
  Module: new (bytes: Uint8Array) => object;
  Instance: new (module: object, imports: object) => { exports: unknown };
  Memory: new (size: { initial: number }) => { buffer: ArrayBuffer };
}
const { WebAssembly } = globalThis as unknown as { WebAssembly: WebAssemblyGlobal };

interface Dense {
  fill(points: number, n: number, from: number, to: number, g: number, h: number): void;
  multiply(g: number, h: number, n: number, charge: number, dipole: number, out: number): void;
}

/** Dense matrices, direct sums and multipoles side by side: where does which win? One thread. */
export const bench: Bench = {
  what: 'three ways to the same sums (one thread): the choice of docs/decisions on the far field',
  async run({ smoke }) {
    const rows: (string | number)[][] = [];
    for (const n of smoke ? [400] : [800, 1600, 3200, 6400, 12800]) {
      const cloud = cloudOf(setUp(n));
      const out = new Float64Array(cloud.count);
      const sums = (): void => operator.apply(cloud.weight, cloud.weight, out);
      let operator = plainOperator(cloud);
      const plain = n > 6400 ? '-' : quickest(2, sums);
      const times: number[] = [];
      for (const capacity of [Number.POSITIVE_INFINITY, undefined]) {
        const maker = fastOperator(soloCrew(), { capacity: capacity ?? 59, direct: 0 });
        maker(cloud).release!();
        times.push(quickest(3, () => maker(cloud).release!()));
        operator = maker(cloud);
        times.push(quickest(10, sums));
        operator.release!();
      }
      rows.push([n, plain, times[1]!, ...(n > 6400 ? ['-', '-', '-'] : dense(cloud)), times[2]!, times[3]!]);
    }
    return {
      columns: [
        'nodes',
        'plain f64 [ms]',
        'direct f32 [ms]',
        'matrix first fill [ms]',
        'matrix fill again [ms]',
        'matrix apply [ms]',
        'multipole set up [ms]',
        'multipole apply [ms]',
      ],
      rows,
    };
  },
};

/** First fill (touches fresh memory), second fill, and product, of two n x n matrices [ms]. */
function dense(cloud: ReturnType<typeof cloudOf>): number[] {
  const n = cloud.count;
  const { points, g, bytes } = places(n);
  const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / 65536) });
  const { fill, multiply } = new WebAssembly.Instance(compiled(), { env: { memory } })
    .exports as unknown as Dense;
  const x = new Float32Array(memory.buffer, points, 6 * n);
  for (let i = 0; i < n; i++)
    for (let c = 0; c < 3; c++) {
      x[c * n + i] = cloud.position[3 * i + c]!;
      x[(3 + c) * n + i] = cloud.normal[3 * i + c]!;
    }
  const h = g + 4 * n * n;
  const all = (): void => fill(points, n, 0, n, g, h);
  const first = quickest(1, all);
  return [first, quickest(2, all), quickest(5, () => multiply(g, h, n, points, points, h + 4 * n * n))];
}

const places = (n: number): { points: number; g: number; bytes: number } => {
  const points = 1024;
  const g = points + 24 * n;
  return { points, g, bytes: g + 8 * n * n + 4 * n };
};

let module: object | undefined;
function compiled(): object {
  if (module) return module;
  const folder = mkdtempSync(join(tmpdir(), 'dense-'));
  const compiler = join(
    dirname(createRequire(import.meta.url).resolve('assemblyscript/package.json')),
    'bin/asc.js',
  );
  const out = join(folder, 'dense.wasm');
  const options = ['-O3', '--noAssert', '--runtime', 'stub', '--enable', 'simd', '--importMemory', '-o', out];
  execFileSync(process.execPath, [compiler, 'bench/dense.as.ts', ...options], { stdio: ['ignore', 2, 2] });
  module = new WebAssembly.Module(readFileSync(out));
  rmSync(folder, { recursive: true });
  return module;
}
