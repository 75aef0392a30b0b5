import type { Watch } from '../../numerics/index.js';
import { done, type Outcome, type Problem, refused } from '../../units/index.js';
import { closeCracks } from './cracks.js';
import { closeSmallHoles, findHoles } from './holes.js';
import { nestShells, type ShellFacts } from './nesting.js';
import { remarksOn } from './remarks.js';
import { type Repair, RepairLog } from './report.js';
import { dropStrays, factsOf } from './shell-facts.js';
import { faceArea, findShells, type Shells, separate, turnOver } from './shells.js';
import {
  diagonal,
  dropCollapsed,
  dropDuplicates,
  dropNonFinite,
  joinEqualVertices,
  type Soup,
} from './soup.js';

/** A surface after repair: every edge has at most two faces, neighbours are wound alike, solids outward. */
export interface RepairedSurface {
  /** xyz after xyz, in the unit that went in. */
  vertices: Float64Array;
  triangles: Uint32Array;
  /** Group of the file per triangle; a patch takes the group of its shell. */
  group: Int32Array;
  /** Body per triangle: 0, 1, ...; a cavity belongs to the body around it. */
  body: Int32Array;
  bodies: number;
  /** Voids inside bodies; no bath reaches them. */
  cavities: number;
  /** Area of those voids [file unit^2]. */
  cavityArea: number;
  /** Whether every edge has two faces: the surface encloses a volume. */
  closed: boolean;
  repairs: Repair[];
  warnings: Problem[];
}

/**
 * Turns triangles as read into a surface, and keeps count of every change. Order matters: what is certain (numbers that
 * are none, repeats, collapsed faces) goes first, then cracks, then holes, then which way round things are.
 */
export function repairSurface(
  input: Omit<Soup, 'turned'>,
  watch: Watch,
  log = new RepairLog(),
): Outcome<RepairedSurface> {
  const stopAt = (fraction: number, words: string): boolean => {
    watch.report(fraction, words);
    return watch.cancelled();
  };
  const stopped = refused<RepairedSurface>({ code: 'cancelled', path: '', message: 'Repair was stopped.' });
  if (stopAt(0, 'joining points')) return stopped;
  const read: Soup = { ...input, turned: new Uint8Array(input.group.length) };
  let soup = dropDuplicates(dropCollapsed(joinEqualVertices(dropNonFinite(read, log)), log), log);
  const size = diagonal(soup);
  if (!hasArea(soup, size)) return refused(nothingLeft(log));
  if (stopAt(0.2, 'closing cracks')) return stopped;
  soup = closeCracks(soup, log, watch);
  if (stopAt(0.4, 'following the surface')) return stopped;
  let shells = agree(soup);
  if (shells.count > MOST_LOOSE_PIECES && loosePieces(shells) > shells.count / 2)
    return refused(heap(shells.count));
  const patched = closeSmallHoles(soup, shells, findHoles(soup, shells), log);
  if (patched !== soup) {
    soup = dropDuplicates(dropCollapsed(patched, log), log);
    shells = agree(soup);
  }
  const kept = dropStrays(soup, shells, log);
  if (kept !== soup) {
    soup = kept;
    shells = agree(soup);
  }
  if (stopAt(0.6, 'finding inside and outside')) return stopped;
  const facts = factsOf(soup, shells);
  const nested = nestShells(soup, facts);
  for (const fact of facts) {
    if (fact.flip) for (const t of fact.faces) turn(soup, shells, t);
    logTurns(soup, fact, log);
  }
  if (stopAt(0.8, 'looking for overlaps')) return stopped;
  const warnings = remarksOn(soup, shells, facts, nested, size, watch);
  if (watch.cancelled()) return stopped;
  return done({ ...collect(soup, shells, facts), repairs: log.list(), warnings });
}

/** A sliver of rounding error is no surface: demand more area than double precision loses in the sum. */
function hasArea({ vertices, triangles }: Soup, size: number): boolean {
  let area = 0;
  for (let t = 0; t < triangles.length / 3; t++) area += faceArea(vertices, triangles, t);
  return area > 1e-14 * size * size && area > 0;
}

/** A file of more pieces than this, most of them open, is no surface; searching it for holes would be in vain. */
const MOST_LOOSE_PIECES = 20_000;

function loosePieces({ mate, shell, count }: Shells): number {
  const open = new Uint8Array(count);
  for (let h = 0; h < mate.length; h++) if (mate[h]! < 0) open[shell[(h / 3) | 0]!] = 1;
  return open.reduce((sum, o) => sum + o, 0);
}

const heap = (pieces: number): Problem => ({
  code: 'no-surface',
  path: '',
  message: `The file is a heap of ${pieces} pieces whose faces do not join into a surface.`,
  hint: 'Export the part as one solid; a scan must be made into a closed mesh first.',
});

/** Shells whose faces have been turned over to agree with their neighbours. */
function agree(soup: Soup): Shells {
  soup.triangles = soup.triangles.slice();
  const shells = findShells(soup);
  for (let t = 0; t < shells.turned.length; t++) if (shells.turned[t]) turn(soup, shells, t);
  return shells;
}

function turn(soup: Soup, shells: Shells, t: number): void {
  turnOver(soup.triangles, shells.mate, t);
  soup.turned[t]! ^= 1;
}

/** A shell mostly turned over was inside-out; the few faces that differ from the rest were wound the wrong way. */
function logTurns(soup: Soup, { faces }: ShellFacts, log: RepairLog): void {
  let turned = 0;
  for (const t of faces) turned += soup.turned[t]!;
  if (2 * turned > faces.length) log.add('inverted-body');
  log.add('flipped-faces', Math.min(turned, faces.length - turned));
}

function collect(
  soup: Soup,
  shells: Shells,
  facts: ShellFacts[],
): Omit<RepairedSurface, 'repairs' | 'warnings'> {
  const { vertices, triangles } = separate(soup, shells.mate);
  const bodyOf = new Int32Array(facts.length).fill(-1);
  let bodies = 0;
  const carrier = carriers(shells, facts);
  facts.forEach((fact, s) => {
    if (fact.kind !== 'cavity' && carrier[s] === s) bodyOf[s] = bodies++;
  });
  facts.forEach((fact, s) => {
    if (fact.kind === 'cavity') bodyOf[s] = bodyOf[carrier[fact.parent]!]!;
    else bodyOf[s] = bodyOf[carrier[s]!]!;
  });
  const voids = facts.filter((fact) => fact.kind === 'cavity');
  return {
    vertices,
    triangles,
    group: soup.group,
    body: shells.shell.map((s) => bodyOf[s]!),
    bodies,
    cavities: voids.length,
    cavityArea: voids.reduce((sum, fact) => sum + fact.area, 0),
    closed: facts.every((fact) => fact.closed),
  };
}

/** For each shell the one it counts with: an open shell whose rim runs along others forms one body with them. */
function carriers({ crowded, shell }: Shells, facts: ShellFacts[]): Int32Array {
  const carrier = Int32Array.from(facts, (_, s) => s);
  const root = (s: number): number => {
    while (carrier[s] !== s) s = carrier[s]!;
    return s;
  };
  for (const halves of crowded) {
    const touching = halves.map((h) => shell[(h / 3) | 0]!);
    const open = touching.find((s) => facts[s]!.kind === 'open');
    if (open === undefined) continue;
    for (const s of touching) {
      const [a, b] = [root(open), root(s)];
      carrier[Math.max(a, b)] = Math.min(a, b);
    }
  }
  return carrier.map((_, s) => root(s));
}

function nothingLeft(log: RepairLog): Problem {
  const reasons = log.list().map(({ kind, count }) => `${count} ${kind}`);
  return {
    code: 'no-surface',
    path: '',
    message: `No face of the file has an area${reasons.length ? ` (left out: ${reasons.join(', ')})` : ''}.`,
    hint: 'Open the part in the program it was drawn in and export it again.',
  };
}
