import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Bench } from './bench.js';
import { type Case, type Law, type Level, type Outcome, ours } from './peer-cases.js';

const PEERS = join('..', 'shared', 'peers');
const PYTHON = '/usr/bin/python3';

/** Child of this file: one cold run of ours, printed as JSON. */
export const child = async (which: Case, law: Law, level: Level): Promise<void> => {
  process.stdout.write(`${JSON.stringify(await ours(which, law, level))}\n`);
  process.exit(0);
};

const LEVELS: Level[] = [
  { quality: 'draft', rich: false },
  { quality: 'draft', rich: true },
  { quality: 'standard', rich: false },
  { quality: 'standard', rich: true },
  { quality: 'fine', rich: true },
];
/** Element sizes the peer is asked for: coarse to fine. */
const SIZES: Record<Law, number[]> = { robin: [1.2, 0.9, 0.7], primary: [1, 0.5, 0.35] };
/** A run of the peer that takes longer is given up [ms]. */
const PATIENCE = 150_000;

interface Row {
  by: string;
  seconds: number;
  /** Of these, in our mesher. */
  meshing?: number;
  megabytes: number;
  /** Relative errors against the reference. */
  R: number;
  q05: number;
  q95: number;
  size: string;
  again?: number;
  moved?: number;
  movedMeshing?: number;
}

/** Ours and a general finite-element program on the same set-ups, in one run, so that the machine is the same. */
export const bench: Bench = {
  what: 'whole field solves beside a general second-order finite-element peer (../shared/peers), errors in percent',
  async run({ smoke }) {
    const rows: (string | number)[][] = [];
    const notes: string[] = [];
    const reference = readReference();
    const peer = peerInstalled() && !smoke;
    if (!reference) notes.push('No reference values: ../shared/peers is absent.');
    if (!peer)
      notes.push(
        smoke
          ? 'The peer is left out of a smoke run.'
          : 'The peer did not run: it needs ../shared/peers and Debian python3-dolfinx python3-gmsh python3-numpy.',
      );
    for (const which of smoke ? (['b'] as const) : (['b', 'c'] as const))
      for (const law of smoke ? (['robin'] as const) : (['robin', 'primary'] as const)) {
        const known = reference?.[`${which}_${law}`];
        const all: Row[] = [];
        for (const level of smoke ? LEVELS.slice(0, 1) : LEVELS)
          all.push(ourRow(runOurs(which, law, level), level, known));
        // What the peer's form compiler makes of a new problem is kept, and is not to be timed.
        if (peer) peerRow(which, law, SIZES[law][0]!, known);
        if (peer)
          for (const size of SIZES[law]) {
            const row = peerRow(which, law, size, known);
            if (row) all.push(row);
            else
              notes.push(
                `${which} ${law}: the peer at size ${size} was given up after ${PATIENCE / 1000} s.`,
              );
          }
        process.stderr.write(`  ${which} ${law} done\n`);
        for (const r of all)
          rows.push([
            `${which} ${law}`,
            r.by,
            r.size,
            r.seconds,
            r.meshing ?? '-',
            r.megabytes,
            ...[r.R, r.q05, r.q95].map((e) => (Number.isFinite(e) ? (100 * e).toFixed(2) : '-')),
            r.again ?? '-',
            r.moved ?? '-',
            r.movedMeshing ?? '-',
          ]);
        if (!smoke) notes.push(...verdicts(`${which} ${law}`, all));
      }
    return {
      columns: [
        'case',
        'by',
        'size',
        'time [s]',
        'meshing [s]',
        'peak [MB]',
        'R %',
        'q05 %',
        'q95 %',
        'again [s]',
        'moved [s]',
        'meshing [s]',
      ],
      rows,
      notes,
    };
  },
};

type Reference = Record<string, Record<string, [number, number]>>;

function readReference(): Reference | undefined {
  const file = join(PEERS, 'reference.json');
  return existsSync(file) ? (JSON.parse(readFileSync(file, 'utf8')) as Reference) : undefined;
}

function peerInstalled(): boolean {
  if (!existsSync(join(PEERS, 'run_dolfinx.py'))) return false;
  try {
    execFileSync(PYTHON, ['-c', 'import dolfinx, gmsh, numpy'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

function runOurs(which: Case, law: Law, level: Level): Outcome {
  const code = `import(${JSON.stringify(import.meta.url)}).then((m) => m.child(${[which, law, level].map((a) => JSON.stringify(a)).join()}))`;
  const out = execFileSync(process.execPath, ['-e', code], { stdio: ['ignore', 'pipe', 2] });
  return JSON.parse(out.toString()) as Outcome;
}

function ourRow(o: Outcome, { quality, rich }: Level, known: Reference[string] | undefined): Row {
  return {
    by: 'ours',
    size: `${quality}${rich ? ' rich' : ''}, ${o.nodes} unknowns`,
    seconds: o.seconds,
    meshing: o.meshing,
    megabytes: o.megabytes,
    again: o.again,
    moved: o.moved,
    movedMeshing: o.movedMeshing,
    ...errors(o, known),
  };
}

function peerRow(which: Case, law: Law, size: number, known: Reference[string] | undefined): Row | undefined {
  const command = [join(PEERS, 'run_dolfinx.py'), which, law, String(size), '2'];
  type Run = { t_core: number; mem_MB: number; dofs: number; R: number; q05: number; q95: number };
  const run = (program: string, before: string[]): Run => {
    const out = execFileSync(program, [...before, ...command], {
      env: { ...process.env, OMP_NUM_THREADS: '1' },
      stdio: ['ignore', 'pipe', 'ignore'],
      timeout: PATIENCE,
    });
    return JSON.parse(out.toString().trim().split('\n').at(-1)!);
  };
  let best: Run;
  try {
    // In one process and in two; ours has two threads.
    const [a, b] = [run(PYTHON, []), run('mpirun', ['--allow-run-as-root', '-n', '2', PYTHON])];
    best = a.t_core < b.t_core ? a : b;
  } catch (error) {
    if ((error as { code?: string }).code === 'ETIMEDOUT') return undefined;
    throw error;
  }
  return {
    by: 'peer',
    size: `${size}, ${best.dofs} unknowns`,
    seconds: best.t_core,
    megabytes: best.mem_MB,
    ...errors(best, known),
  };
}

type Figures = { R: number; q05: number; q95: number };

function errors(got: Figures, known: Reference[string] | undefined): Figures {
  const one = (key: keyof Figures): number => (known ? got[key] / known[key]![0] - 1 : Number.NaN);
  return { R: one('R'), q05: one('q05'), q95: one('q95') };
}

/** Quickest run of each within an error. */
function verdicts(name: string, rows: Row[]): string[] {
  const best = (by: string, keys: (keyof Figures)[], within: number): number =>
    Math.min(
      ...rows.filter((r) => r.by === by && keys.every((k) => Math.abs(r[k]) <= within)).map((r) => r.seconds),
    );
  return (
    [
      [['R'], 0.003],
      [['R', 'q05', 'q95'], 0.003],
      [['q95'], 0.01],
      [['q95'], 0.003],
    ] as [(keyof Figures)[], number][]
  ).map(([keys, within]) => {
    const [a, b] = [best('ours', keys, within), best('peer', keys, within)];
    const seconds = (t: number): string => (Number.isFinite(t) ? `${t.toFixed(2)} s` : 'not reached');
    return `${name}, ${keys.join(' ')} to ${100 * within} %: ours ${seconds(a)}, peer ${seconds(b)}`;
  });
}
