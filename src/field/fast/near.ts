import { gaussLegendre, triangleRule } from '../../numerics/index.js';
import { basisOf } from '../basis.js';
import type { NearBlock, NearMaker, NearSum, Placed } from '../near.js';
import type { NearList } from '../near-list.js';
import type { Discretisation } from '../nodes.js';
import * as L from '../wasm/near-layout.js';
import type { Arena } from './arena.js';
import type { Crew } from './crew.js';

/** Panels a piece of work, when integrating; nodes a piece, when summing. */
const PANELS = 8;
const NODES = 128;

const PLANE = 1;
const SHEET = 2;
const INWARD = 4;

/** Near corrections by the kernels of a crew. Blocks live in the crew's memory and are given back when dropped. */
export function fastNear(crewOf: () => Crew): NearMaker {
  return {
    build: (d, list, observers, sources) => integrate(crewOf(), d, list, observers, sources),
    sum: (d, blocks) => sumOf(crewOf(), d, blocks),
  };
}

type Data = Int32Array | Float32Array | Float64Array | Uint8Array;

/** Blocks of the crew's memory that belong together. */
class Shelf {
  readonly #taken: [address: number, bytes: number][] = [];
  constructor(readonly arena: Arena) {}

  room(bytes: number): number {
    const address = this.arena.take(bytes);
    this.#taken.push([address, bytes]);
    return address;
  }

  put(data: Data): number {
    const address = this.room(data.byteLength);
    // The memory may have grown since the last look at it, so views are made anew.
    const { buffer } = this.arena.memory;
    new (data.constructor as Float64ArrayConstructor)(buffer, address, data.length).set(data);
    return address;
  }

  giveBack(): void {
    for (const [address, bytes] of this.#taken.splice(0)) this.arena.give(address, bytes);
  }
}

const dropped = new FinalizationRegistry<Shelf>((shelf) => shelf.giveBack());

/** Rows in the memory of a crew. */
class FastBlock implements NearBlock {
  readonly list;
  readonly value: number;
  readonly rowStart: number;
  readonly rowPanel: number;
  readonly rowValue: number;
  readonly #shelf: Shelf;
  readonly #values: number;

  constructor(shelf: Shelf, { rowStart, rowPanel, rowValue, values }: NearList) {
    this.list = { rowStart, rowPanel, rowValue };
    this.#shelf = shelf;
    this.#values = values;
    this.rowStart = shelf.put(rowStart);
    this.rowPanel = shelf.put(rowPanel);
    this.rowValue = shelf.put(rowValue);
    // The last row of three is read with loads of four.
    this.value = shelf.room(4 * values + 16);
    dropped.register(this, shelf);
  }

  values(): Float32Array {
    return new Float32Array(this.#shelf.arena.memory.buffer, this.value, this.#values);
  }

  release(): void {
    this.#shelf.giveBack();
  }
}

function integrate(
  crew: Crew,
  d: Discretisation,
  list: NearList,
  observers: number,
  sources: number,
): FastBlock {
  const block = new FastBlock(new Shelf(crew.arena), list);
  if (list.observer.length === 0) return block;
  const { panels, nodes, perPanel } = d;
  const from = panels.bodyStart[sources];
  const to = panels.bodyStart[sources + 1];
  const n0 = nodes.start[from];
  const n1 = nodes.start[to];
  const o0 = nodes.bodyStart[observers];
  const o1 = nodes.bodyStart[observers + 1];
  const shelf = new Shelf(crew.arena);
  const plan = shelf.room(4 * L.BLOCK_WORDS);
  const words: [number, number][] = [
    [L.COEF, shelf.put(panels.coef.subarray(18 * from, 18 * to))],
    [L.COUNT, shelf.put(Int32Array.from(perPanel.subarray(from, to)))],
    [L.NODE_START, shelf.put(nodes.start.subarray(from, to + 1).map((n) => n - n0))],
    [L.KIND, shelf.put(kinds(d, from, to))],
    [L.SOURCE_POSITION, shelf.put(nodes.position.subarray(3 * n0, 3 * n1))],
    [L.SOURCE_NORMAL, shelf.put(nodes.normal.subarray(3 * n0, 3 * n1))],
    [L.SOURCE_WEIGHT, shelf.put(nodes.weight.subarray(n0, n1))],
    [L.OBSERVER_POSITION, shelf.put(nodes.position.subarray(3 * o0, 3 * o1))],
    [L.SAME_BODY, observers === sources ? 1 : 0],
    [L.MIRROR, shelf.put(Float64Array.of(nodes.mirrorHeight ?? 0))],
    [L.ENTRY_START, shelf.put(list.start)],
    [L.ENTRY_OBSERVER, shelf.put(list.observer)],
    [L.ENTRY_HOW, shelf.put(list.how)],
    [L.ENTRY_SLOT, shelf.put(list.slot)],
    [L.VALUE, block.value],
    ...rules().map(([word, data]): [number, number] => [word, shelf.put(data)]),
  ];
  const table = new Int32Array(crew.arena.memory.buffer, plan, L.BLOCK_WORDS);
  for (const [word, value] of words) table[word / 4] = value;
  crew.run('nearIntegrals', plan, 0, to - from, PANELS);
  shelf.giveBack();
  return block;
}

const kinds = ({ panels, sheet, sign }: Discretisation, from: number, to: number): Int32Array =>
  Int32Array.from({ length: to - from }, (_, k) => {
    const p = from + k;
    return (panels.flat[p] ? PLANE : 0) | (sheet[p] ? SHEET : 0) | (sign[p] < 0 ? INWARD : 0);
  });

let ruleTables: [number, Data][] | undefined;

/** Quadrature and polynomials, as the kernel reads them. */
function rules(): [number, Data][] {
  if (ruleTables) return ruleTables;
  const piece = triangleRule(6);
  const bases = ([1, 3, 6] as const).map(basisOf);
  const basis = new Float64Array(3 * 36);
  const st = new Float64Array(3 * 12);
  bases.forEach(({ coef, rule, nodes }, b) => {
    basis.set(coef, 36 * b);
    for (let k = 0; k < nodes; k++) st.set([rule.s[k], rule.t[k]], 12 * b + 2 * k);
  });
  const interval = (n: number) => {
    const { x, w } = gaussLegendre(n);
    return Float64Array.from({ length: 2 * n }, (_, i) => (i % 2 === 0 ? x[i >> 1] : w[i >> 1]));
  };
  ruleTables = [
    [L.PIECE_RULE, byFours([piece.s, piece.t, piece.w])],
    [L.BASIS, basis],
    [L.NODE_ST, st],
    [L.ALONG, interval(L.ALONG_POINTS)],
    [L.ACROSS, interval(L.ACROSS_POINTS)],
  ];
  return ruleTables;
}

/** Several lists of the same length, four entries of each in turn. */
const byFours = (lists: Float64Array[]): Float32Array =>
  Float32Array.from({ length: lists.length * lists[0].length }, (_, i) => {
    const group = Math.floor(i / (4 * lists.length));
    return lists[(i >> 2) % lists.length][4 * group + (i & 3)];
  });

/** Floats a panel's densities take, by its nodes: see `spread`. */
const FLOATS: Readonly<Record<number, number>> = { 1: 2, 3: 8, 6: 12 };

function sumOf(crew: Crew, d: Discretisation, blocks: readonly Placed[]): NearSum {
  const shelf = new Shelf(crew.arena);
  const { panels, nodes, perPanel } = d;
  const at = new Int32Array(panels.count + 1);
  for (let p = 0; p < panels.count; p++) at[p + 1] = at[p] + FLOATS[perPanel[p]];
  const floats = at[panels.count];
  const density = shelf.room(4 * floats + 16);
  const densityAt = shelf.put(at.map((a) => 4 * a));
  const count = shelf.put(Int32Array.from(perPanel));
  const out = shelf.room(8 * nodes.count);
  const sorted = [...blocks].sort((a, b) => a.observers - b.observers);
  const rows = sorted.flatMap(({ block, sources }) => {
    const { rowStart, rowPanel, rowValue, value } = block as FastBlock;
    const p = 4 * panels.bodyStart[sources];
    return [rowStart, rowPanel, rowValue, value, density, densityAt + p, count + p, 0];
  });
  const tasks = tasksOf(nodes.bodyStart, sorted);
  const plan = shelf.put(Int32Array.of(out, shelf.put(tasks), shelf.put(Int32Array.from(rows)), 0));
  const work = tasks.length / L.TASK_WORDS;
  const sum: NearSum = {
    add(q, phi, result) {
      const { buffer } = crew.arena.memory;
      spread(d, q, phi, new Float32Array(buffer, density, floats));
      const sums = new Float64Array(buffer, out, nodes.count);
      sums.fill(0);
      crew.run('nearApply', plan, 0, work, 4);
      for (let i = 0; i < nodes.count; i++) result[i] += sums[i];
    },
    release: () => shelf.giveBack(),
  };
  dropped.register(sum, shelf);
  return sum;
}

/** Stretches of observers, each with the blocks of its body. */
function tasksOf(bodyStart: Int32Array, blocks: readonly Placed[]): Int32Array {
  const tasks: number[] = [];
  for (let first = 0, last = 0; first < blocks.length; first = last) {
    const body = blocks[first].observers;
    while (last < blocks.length && blocks[last].observers === body) last++;
    const observers = bodyStart[body + 1] - bodyStart[body];
    for (let i = 0; i < observers; i += NODES)
      tasks.push(bodyStart[body], i, Math.min(i + NODES, observers), first, last);
  }
  return Int32Array.from(tasks);
}

/** Densities panel by panel: of three nodes as q0 q1 q2 p0, 0 0 p1 p2 (near.as.ts reads the values so), else q.. p... */
function spread(d: Discretisation, q: Float64Array, phi: Float64Array | null, out: Float32Array): void {
  const { panels, nodes, perPanel } = d;
  for (let p = 0, at = 0; p < panels.count; p++) {
    const node = nodes.start[p];
    const count = perPanel[p];
    if (count === 3) {
      for (let k = 0; k < 3; k++) out[at + k] = q[node + k];
      out[at + 3] = phi ? phi[node] : 0;
      out[at + 4] = 0;
      out[at + 5] = 0;
      out[at + 6] = phi ? phi[node + 1] : 0;
      out[at + 7] = phi ? phi[node + 2] : 0;
    } else
      for (let k = 0; k < count; k++) {
        out[at + k] = q[node + k];
        out[at + count + k] = phi ? phi[node + k] : 0;
      }
    at += FLOATS[count];
  }
}
