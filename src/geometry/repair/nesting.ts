import type { Soup } from './soup.js';

/** What is known of one shell once its faces are wound alike. */
export interface ShellFacts {
  faces: number[];
  closed: boolean;
  area: number;
  /** Signed volume [file unit^3]: positive if wound outward. For an open shell the hole is closed by a cone. */
  volume: number;
  min: [number, number, number];
  max: [number, number, number];
  /** The shell directly around this one, or -1. */
  parent: number;
  /** solid: material inside. cavity: a void in its parent. embedded: a solid drawn inside another solid. open: no inside. */
  kind: 'solid' | 'cavity' | 'embedded' | 'open';
  /** Whether all its faces must be turned over. */
  flip: boolean;
}

/** Point-in-shell work beyond this many triangle looks is not done (a few seconds). */
const BUDGET = 1e8;

/**
 * Finds which closed shells lie inside which, and which way round each belongs.
 * The outermost shells are wound outward. A shell inside a solid is a cavity if the file winds it against its parent, and
 * a solid drawn inside another if it winds it alike: parents are trusted relative to each other, so that a file which is
 * inside-out as a whole comes right. Returns false where there were too many shells to look at.
 */
export function nestShells(soup: Soup, shells: ShellFacts[]): boolean {
  const bySize = shells
    .map((_, i) => i)
    .filter((i) => shells[i]!.closed)
    .sort((i, j) => Math.abs(shells[j]!.volume) - Math.abs(shells[i]!.volume));
  let spent = 0;
  for (let n = 0; n < bySize.length; n++) {
    const inner = shells[bySize[n]!]!;
    // The smallest shell around it comes last among the larger ones.
    for (let m = n - 1; m >= 0; m--) {
      const outer = shells[bySize[m]!]!;
      spent += 1;
      if (spent > BUDGET) return false;
      if (!boxInside(inner, outer)) continue;
      spent += 3 * outer.faces.length;
      if (spent > BUDGET) return false;
      if (!liesInside(soup, inner, outer)) continue;
      inner.parent = bySize[m]!;
      break;
    }
    settle(inner, inner.parent >= 0 ? shells[inner.parent]! : undefined);
  }
  for (const shell of shells) if (!shell.closed) settleOpen(shell);
  return true;
}

function boxInside({ min, max }: ShellFacts, outer: ShellFacts): boolean {
  return (
    outer.min[0] < min[0] &&
    outer.min[1] < min[1] &&
    outer.min[2] < min[2] &&
    outer.max[0] > max[0] &&
    outer.max[1] > max[1] &&
    outer.max[2] > max[2]
  );
}

function settle(shell: ShellFacts, parent: ShellFacts | undefined): void {
  if (!parent || parent.kind === 'cavity') shell.kind = 'solid';
  else shell.kind = Math.sign(shell.volume) === Math.sign(parent.volume) ? 'embedded' : 'cavity';
  shell.flip = shell.kind === 'cavity' ? shell.volume > 0 : shell.volume < 0;
}

/** Share of the volume of a ball of the same area from which on an open shell has an inside to speak of. */
const BULGES = 0.02;

function settleOpen(shell: ShellFacts): void {
  const ball = shell.area ** 1.5 / (6 * Math.sqrt(Math.PI));
  shell.kind = 'open';
  shell.flip = shell.volume < -BULGES * ball;
}

/** Whether sample corners of `inner` lie inside `outer`; corners that touch it do not count. */
function liesInside(soup: Soup, inner: ShellFacts, outer: ShellFacts): boolean {
  let votes = 0;
  for (const pick of [0, 0.37, 0.73]) {
    const face = inner.faces[Math.floor(pick * inner.faces.length)]!;
    const winding = Math.abs(windingNumber(soup, soup.triangles[3 * face]!, outer));
    if (Math.abs(winding - 0.5) < 0.3) continue;
    votes += winding > 0.5 ? 1 : -1;
  }
  return votes > 0;
}

/**
 * How often a closed shell winds around a vertex: the sum of the solid angles of its faces over 4 pi, each by the
 * formula of Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125 (citation from memory).
 */
function windingNumber({ vertices, triangles }: Soup, point: number, shell: ShellFacts): number {
  const [px, py, pz] = [vertices[3 * point]!, vertices[3 * point + 1]!, vertices[3 * point + 2]!];
  let sum = 0;
  for (const t of shell.faces) {
    const a = 3 * triangles[3 * t]!;
    const b = 3 * triangles[3 * t + 1]!;
    const c = 3 * triangles[3 * t + 2]!;
    const ax = vertices[a]! - px;
    const ay = vertices[a + 1]! - py;
    const az = vertices[a + 2]! - pz;
    const bx = vertices[b]! - px;
    const by = vertices[b + 1]! - py;
    const bz = vertices[b + 2]! - pz;
    const cx = vertices[c]! - px;
    const cy = vertices[c + 1]! - py;
    const cz = vertices[c + 2]! - pz;
    const la = Math.sqrt(ax * ax + ay * ay + az * az);
    const lb = Math.sqrt(bx * bx + by * by + bz * bz);
    const lc = Math.sqrt(cx * cx + cy * cy + cz * cz);
    const triple = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    const below =
      la * lb * lc +
      (ax * bx + ay * by + az * bz) * lc +
      (bx * cx + by * cy + bz * cz) * la +
      (cx * ax + cy * ay + cz * az) * lb;
    sum += 2 * Math.atan2(triple, below);
  }
  return sum / (4 * Math.PI);
}
