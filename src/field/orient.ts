import type { Problem } from '../units/index.js';
import { findEdges, weldCorners } from './edges.js';
import { evaluatePanel, type Panels } from './panels.js';

/** Which way each panel faces, found from the surface itself. */
export interface Orientation {
  /** +1 where the panel's area vector points out of the electrolyte, -1 where it points in. */
  sign: Int8Array;
  /** 1 for panels of an open sheet, wetted on both faces. */
  sheet: Uint8Array;
  /** Connected piece each panel belongs to. */
  shell: Int32Array;
  problems: Problem[];
}

/** A connected piece of the surface, its panels turned to agree with one another. */
interface Shell {
  panels: number[];
  open: boolean;
  /** Signed volume with the panels as turned (for a shell cut by the mirror: up to the plane) [m3]. */
  volume: number;
}

/**
 * Finds the shells of the surface, turns each into one orientation, and decides by nesting which side the liquid is on:
 * with a vessel, the outermost shell has the liquid inside and what it holds has the liquid outside; without one, the
 * other way round. A surface that must be closed and is not is reported with the place of the gap.
 */
export function orient(panels: Panels, mirrorHeight: number | undefined, unbounded: boolean): Orientation {
  const corners = weldCorners(panels);
  const turn = new Int8Array(panels.count);
  const problems: Problem[] = [];
  const shells = findShells(panels, corners, mirrorHeight, turn, problems);
  const sheet = new Uint8Array(panels.count);
  const shell = new Int32Array(panels.count);
  shells.forEach((s, k) => {
    for (const p of s.panels) shell[p] = k;
  });
  const closed = shells.filter((s) => !s.open);
  for (const piece of shells.filter((s) => s.open))
    if (unbounded) for (const p of piece.panels) sheet[p] = 1;
    else problems.push(openProblem(panels, piece));
  const sign = new Int8Array(panels.count).fill(1);
  let outermost = 0;
  for (const piece of closed) {
    const depth = closed.filter(
      (other) => other !== piece && encloses(panels, turn, other, piece, mirrorHeight),
    ).length;
    if (depth === 0) outermost++;
    const wantPositive = (depth % 2 === 0) !== unbounded;
    const flip = piece.volume > 0 === wantPositive ? 1 : -1;
    for (const p of piece.panels) sign[p] = turn[p] * flip;
  }
  if (!unbounded && outermost > 1)
    problems.push({
      code: 'separate-liquids',
      path: 'surface',
      message: `The surface bounds ${outermost} bodies of liquid that do not meet; current cannot pass between them.`,
      hint: 'Give one closed outer surface (the vessel) with everything else inside it, or say "unbounded": true.',
    });
  return { sign, sheet, shell, problems };
}

function openProblem(panels: Panels, shell: Shell): Problem {
  const p = shell.panels[0];
  const where = [0, 1, 2].map((d) => `${(panels.centre[3 * p + d] * 1000).toPrecision(4)}`).join(', ');
  return {
    code: 'surface-open',
    path: 'surface.triangles',
    message: `The surface has a gap: a piece of ${shell.panels.length} triangles is not closed, near (${where}) mm.`,
    hint: 'The surface must enclose the electrolyte without holes; weld its edges, or say "unbounded": true for sheets in open liquid.',
  };
}

function findShells(
  panels: Panels,
  corner: Int32Array,
  mirrorHeight: number | undefined,
  turn: Int8Array,
  problems: Problem[],
): Shell[] {
  const edges = findEdges(panels, corner);
  const shells: Shell[] = [];
  for (let seed = 0; seed < panels.count; seed++) {
    if (turn[seed] !== 0) continue;
    turn[seed] = 1;
    const found = [seed];
    let open = false;
    let oneSided = false;
    for (let at = 0; at < found.length; at++) {
      const p = found[at];
      for (let k = 0; k < 3; k++) {
        const e = edges.ofSide[3 * p + k];
        if (edges.uses[e] === 1 && !onPlane(panels, p, k, mirrorHeight)) open = true;
        if (edges.uses[e] !== 2) continue;
        const other = edges.first[e] === p ? edges.second[e] : edges.first[e];
        if (other === p) continue;
        const side = [0, 1, 2].find((j) => edges.ofSide[3 * other + j] === e)!;
        const same = edges.forward[3 * other + side] !== edges.forward[3 * p + k];
        const wanted = same ? turn[p] : -turn[p];
        if (turn[other] === 0) {
          turn[other] = wanted;
          found.push(other);
        } else if (turn[other] !== wanted) oneSided = true;
      }
    }
    if (oneSided)
      problems.push({
        code: 'surface-one-sided',
        path: 'surface.triangles',
        message: `A piece of ${found.length} triangles has no inside: it twists back onto its other face.`,
        hint: 'Repair the mesh; no closed body has such a surface.',
      });
    shells.push({ panels: found, open, volume: 0 });
  }
  const merged = mergeByBody(panels, shells, turn, mirrorHeight);
  for (const shell of merged) shell.volume = signedVolume(panels, turn, shell.panels, mirrorHeight);
  return merged;
}

/** Both ends of side k of panel p lie on the mirror plane. */
function onPlane(panels: Panels, p: number, k: number, height: number | undefined): boolean {
  if (height === undefined) return false;
  const c = 18 * p + 2;
  const { coef, radius } = panels;
  const z = [coef[c], coef[c] + coef[c + 3] + coef[c + 9], coef[c] + coef[c + 6] + coef[c + 15]];
  const near = 1e-4 * radius[p];
  return Math.abs(z[k] - height) < near && Math.abs(z[(k + 1) % 3] - height) < near;
}

/**
 * Panels with hanging corners leave edges that are met by two shorter ones. Open pieces of one body whose area vectors,
 * as the maker gave them, add up to nothing (with the lid that the mirror plane puts on) are taken as one closed shell.
 */
function mergeByBody(
  panels: Panels,
  shells: Shell[],
  turn: Int8Array,
  mirrorHeight: number | undefined,
): Shell[] {
  const out = shells.filter((shell) => !shell.open);
  const byBody = new Map<number, Shell[]>();
  for (const shell of shells.filter((s) => s.open)) {
    const body = panels.body[shell.panels[0]];
    byBody.set(body, [...(byBody.get(body) ?? []), shell]);
  }
  for (const group of byBody.values()) {
    const all = group.flatMap((shell) => shell.panels);
    const sum = [0, 0, 0];
    let area = 0;
    const vector = new Float64Array(3);
    for (const p of all) {
      areaVector(panels, p, vector);
      for (let d = 0; d < 3; d++) sum[d] += vector[d];
      for (let k = 0; k < 3; k++) if (onPlane(panels, p, k, mirrorHeight)) sum[2] -= lidShare(panels, p, k);
      area += Math.hypot(vector[0], vector[1], vector[2]);
    }
    const gap = Math.hypot(sum[0], sum[1], sum[2]);
    if (gap < 1e-4 * area) {
      for (const p of all) turn[p] = 1;
      out.push({ panels: all, open: false, volume: 0 });
    } else out.push(...group);
  }
  return out;
}

/** What side k of panel p adds to the area it cuts out of the mirror plane: half the integral of x dy - y dx along it. */
function lidShare(panels: Panels, p: number, k: number): number {
  const point = new Float64Array(6);
  const at = (s: number, t: number): [number, number] => {
    evaluatePanel(panels.coef, p, s, t, point, 0);
    return [point[0], point[1]];
  };
  const ends = [at(0, 0), at(1, 0), at(0, 1)];
  const middles = [at(0.5, 0), at(0.5, 0.5), at(0, 0.5)];
  const cross = (u: readonly number[], v: readonly number[]) => u[0] * v[1] - u[1] * v[0];
  const [a, m, b] = [ends[k], middles[k], ends[(k + 1) % 3]];
  // A parabola holds 4/3 of the triangle through its middle.
  return 0.5 * cross(a, b) + (2 / 3) * (cross(a, m) + cross(m, b) - cross(a, b));
}

/** Area vector of the curved panel: exact for a quadratic triangle by its boundary, here by its four flat quarters. */
function areaVector(panels: Panels, p: number, out: Float64Array): void {
  const c = 18 * p;
  const { coef } = panels;
  // Integral of x_s cross x_t over the unit triangle of the quadratic map; monomials s, t: 1/6, s^2, t^2: 1/12, st: 1/24.
  const a = [0, 1, 2].map((d) => [coef[c + 3 + d], coef[c + 9 + d], coef[c + 12 + d]]);
  const b = [0, 1, 2].map((d) => [coef[c + 6 + d], coef[c + 12 + d], coef[c + 15 + d]]);
  // x_s = a0 + 2 a1 s + a2 t ; x_t = b0 + b1 s + 2 b2 t
  const product = (i: number, j: number): number => {
    const [a0, a1, a2] = a[i];
    const [b0, b1, b2] = b[j];
    return (
      (a0 * b0) / 2 +
      (a0 * b1 + 2 * a0 * b2 + 2 * a1 * b0 + a2 * b0) / 6 +
      (2 * a1 * b1 + 2 * a2 * b2) / 12 +
      (4 * a1 * b2 + a2 * b1) / 24
    );
  };
  out[0] = product(1, 2) - product(2, 1);
  out[1] = product(2, 0) - product(0, 2);
  out[2] = product(0, 1) - product(1, 0);
}

/** Integral of x.n / 3 from a point on the mirror plane (or the middle of things), so that the missing lid adds nothing. */
function signedVolume(
  panels: Panels,
  turn: Int8Array,
  list: readonly number[],
  mirrorHeight: number | undefined,
): number {
  const origin = [0, 1, 2].map(
    (d) => list.reduce((sum, p) => sum + panels.centre[3 * p + d], 0) / list.length,
  );
  if (mirrorHeight !== undefined) origin[2] = mirrorHeight;
  const vector = new Float64Array(3);
  let volume = 0;
  for (const p of list) {
    areaVector(panels, p, vector);
    for (let d = 0; d < 3; d++) volume += (turn[p] * vector[d] * (panels.centre[3 * p + d] - origin[d])) / 3;
  }
  return volume;
}

/** Whether `outer` surrounds the shell `inner`: the solid angle of outer's triangles at a point of inner. */
function encloses(
  panels: Panels,
  turn: Int8Array,
  outer: Shell,
  inner: Shell,
  mirrorHeight: number | undefined,
): boolean {
  const p = inner.panels[0];
  const [x, y, z] = panels.centre.subarray(3 * p, 3 * p + 3);
  let angle = solidAngle(panels, turn, outer, x, y, z);
  if (mirrorHeight !== undefined) angle += solidAngle(panels, turn, outer, x, y, 2 * mirrorHeight - z);
  return Math.abs(angle) > 2 * Math.PI;
}

/** Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30 (1983) 125, over the triangles through the corners. */
function solidAngle(panels: Panels, turn: Int8Array, shell: Shell, x: number, y: number, z: number): number {
  const { coef } = panels;
  let total = 0;
  for (const p of shell.panels) {
    const c = 18 * p;
    const ax = coef[c] - x;
    const ay = coef[c + 1] - y;
    const az = coef[c + 2] - z;
    const bx = ax + coef[c + 3] + coef[c + 9];
    const by = ay + coef[c + 4] + coef[c + 10];
    const bz = az + coef[c + 5] + coef[c + 11];
    const cx = ax + coef[c + 6] + coef[c + 15];
    const cy = ay + coef[c + 7] + coef[c + 16];
    const cz = az + coef[c + 8] + coef[c + 17];
    const a = Math.hypot(ax, ay, az);
    const b = Math.hypot(bx, by, bz);
    const e = Math.hypot(cx, cy, cz);
    const triple = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx);
    const below =
      a * b * e +
      (ax * bx + ay * by + az * bz) * e +
      (ax * cx + ay * cy + az * cz) * b +
      (bx * cx + by * cy + bz * cz) * a;
    total += 2 * turn[p] * Math.atan2(triple, below);
  }
  return total;
}
