import { type Problem, plain } from '../../units/index.js';
import { filleted } from './fillet.js';
import { sectionOf } from './round.js';
import type { Shape } from './shape.js';
import type { Vec2 } from './vector.js';

const mm = (x: number): string => `${plain(x * 1e3)} mm`;

/** Everything wrong with the numbers of a shape; empty when it can be made. `path` is where the shape stands in the file. */
export function checkShape(shape: Shape, path = ''): Problem[] {
  const problems: Problem[] = [];
  const at = (name: string): string => (path ? `${path}.${name}` : name);
  const say = (code: string, name: string, message: string, hint: string): void => {
    problems.push({ code, path: at(name), message, hint });
  };
  const positive = (...names: string[]): void => {
    for (const name of names) {
      const value = (shape as unknown as Record<string, unknown>)[name];
      if (typeof value !== 'number' || !Number.isFinite(value) || value <= 0)
        say(
          'size-not-positive',
          name,
          `${name} is ${String(value)}; it must be a length above zero.`,
          'Measure it with callipers and give it with a unit, e.g. "20 mm".',
        );
      else if (value > 10)
        say(
          'size-absurd',
          name,
          `${name} is ${plain(value)} m, larger than any bench vessel.`,
          'Check the unit: mm and m are easily swapped.',
        );
    }
  };
  const rounding = (): void => {
    const value = 'rounding' in shape ? (shape.rounding ?? 0) : 0;
    if (!(value >= 0) || !Number.isFinite(value))
      say(
        'rounding-negative',
        'rounding',
        `rounding is ${String(value)}; it must be zero or more.`,
        'Give 0 for sharp edges.',
      );
  };
  switch (shape.kind) {
    case 'band-ring':
      positive('outerDiameter', 'thickness', 'height');
      rounding();
      if (shape.thickness >= shape.outerDiameter / 2)
        say(
          'inner-not-inside',
          'thickness',
          `A band ${mm(shape.thickness)} thick leaves no hole in ${mm(shape.outerDiameter)}.`,
          'thickness is measured along the radius; it must be under half the outer diameter.',
        );
      break;
    case 'tube':
      positive('outerDiameter', 'innerDiameter', 'length');
      rounding();
      if (shape.innerDiameter >= shape.outerDiameter)
        say(
          'inner-not-inside',
          'innerDiameter',
          `The inner diameter ${mm(shape.innerDiameter)} is not below the outer ${mm(shape.outerDiameter)}.`,
          'Swap the two, or measure the bore again.',
        );
      break;
    case 'disc':
      positive('diameter', 'thickness');
      rounding();
      break;
    case 'rod':
      positive('diameter', 'length');
      rounding();
      break;
    case 'sphere':
    case 'round-sheet':
      positive('diameter');
      break;
    case 'spheroid':
      positive('equatorDiameter', 'poleDiameter');
      break;
    case 'torus':
      positive('ringDiameter', 'sectionDiameter');
      if (shape.sectionDiameter >= shape.ringDiameter)
        say(
          'inner-not-inside',
          'sectionDiameter',
          `A section of ${mm(shape.sectionDiameter)} closes the hole of a ring of ${mm(shape.ringDiameter)}.`,
          'ringDiameter is that of the centre line of the ring.',
        );
      break;
    case 'box':
      positive('x', 'y', 'z');
      break;
    case 'sheet':
      positive('x', 'y');
      break;
    case 'plate':
      positive('x', 'y', 'thickness');
      break;
    case 'extruded':
      positive('height');
      break;
    case 'lathed':
      rounding();
      break;
    case 'wire':
      positive('diameter');
      break;
    case 'round-case':
      positive('diameter', 'height', 'bore');
      rounding();
      break;
  }
  if (problems.length > 0) return problems;
  problems.push(...checkFit(shape, at));
  return problems;
}

/** Checks that need sound single numbers: roundings, outlines, holes. */
function checkFit(shape: Shape, at: (name: string) => string): Problem[] {
  switch (shape.kind) {
    case 'band-ring':
    case 'tube':
    case 'disc':
    case 'rod':
    case 'lathed': {
      const corners = shape.kind === 'lathed' ? checkCorners(shape.corners, at('corners'), true) : [];
      if (corners.length > 0) return corners;
      const { corners: section, rounding, closed } = sectionOf(shape);
      if (filleted(section, () => rounding, closed)) return [];
      return [
        {
          code: 'rounding-too-big',
          path: at('rounding'),
          message: `Edges rounded by ${mm(rounding)} do not fit: two of them meet on one side.`,
          hint: 'The rounding can be at most half of the shortest side.',
        },
      ];
    }
    default:
      return [];
  }
}

/** A chain of corners: finite, distinct, right way round, not crossing itself; r never below zero for a turned profile. */
export function checkCorners(corners: Vec2[], path: string, turned: boolean): Problem[] {
  const bad = (code: string, message: string, hint: string): Problem[] => [{ code, path, message, hint }];
  if (!Array.isArray(corners) || corners.length < 3)
    return bad(
      'too-few-corners',
      `There are ${corners?.length ?? 0} corners; three are the least.`,
      'Go round the outline corner by corner.',
    );
  const broken = corners.findIndex((c) => c.length !== 2 || !c.every(Number.isFinite));
  if (broken >= 0)
    return bad(
      'corner-not-a-point',
      `Corner ${broken + 1} is ${JSON.stringify(corners[broken])}.`,
      'Each corner is two lengths.',
    );
  const n = corners.length;
  for (let i = 0; i < n; i++) {
    const [a, b] = [corners[i]!, corners[(i + 1) % n]!];
    if (Math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-7)
      return bad(
        'corners-coincide',
        `Corners ${i + 1} and ${((i + 1) % n) + 1} are the same point.`,
        'Leave one of them out; the outline closes by itself.',
      );
    if (turned && a[0] < 0)
      return bad(
        'corner-beyond-axis',
        `Corner ${i + 1} has a radius of ${mm(a[0])}.`,
        'Radii are counted from the axis and never negative.',
      );
  }
  for (let i = 0; i < n; i++)
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      if (crossing(corners[i]!, corners[i + 1]!, corners[j]!, corners[(j + 1) % n]!))
        return bad(
          'outline-crosses-itself',
          `The side after corner ${i + 1} crosses the side after corner ${j + 1}.`,
          'List the corners in order around the outline.',
        );
    }
  const area = corners.reduce((sum, a, i) => {
    const b = corners[(i + 1) % n]!;
    return sum + (a[0] * b[1] - a[1] * b[0]) / 2;
  }, 0);
  if (area <= 0)
    return bad(
      'outline-clockwise',
      'The corners run clockwise.',
      'Reverse their order: the metal is on the left while going round.',
    );
  return [];
}

function crossing(a: Vec2, b: Vec2, c: Vec2, d: Vec2): boolean {
  const side = (p: Vec2, q: Vec2, r: Vec2): number =>
    (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]);
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
