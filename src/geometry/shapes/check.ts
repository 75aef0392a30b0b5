import { type Problem, plain } from '../../units/index.js';
import { filleted } from './fillet.js';
import { outlineOf, plateCorners } from './flat.js';
import { sectionOf } from './round.js';
import type { Shape } from './shape.js';
import type { Vec2 } from './vector.js';
import { wirePath } from './wire.js';

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
    case 'plate':
    case 'extruded':
      return checkFlat(shape, at);
    case 'wire':
      return checkWire(shape, at);
    case 'round-case':
      return checkCase(shape, at);
    default:
      return [];
  }
}

function checkFlat(
  shape: Extract<Shape, { kind: 'plate' | 'extruded' }>,
  at: (name: string) => string,
): Problem[] {
  const corners = shape.kind === 'plate' ? plateCorners(shape) : shape.outline;
  const wrong = checkCorners(corners, at('outline'), false);
  if (wrong.length > 0) return wrong;
  const radius = shape.cornerRadius ?? 0;
  if (!(radius >= 0) || !outlineOf(corners, radius))
    return [
      {
        code: 'rounding-too-big',
        path: at('cornerRadius'),
        message: `Corners rounded by ${mm(radius)} do not fit the outline.`,
        hint: 'The radius can be at most half of the shortest side.',
      },
    ];
  const problems: Problem[] = [];
  const holes: Vec2[][] =
    shape.kind === 'plate' ? (shape.holes ?? []).map(circleCorners) : (shape.holes ?? []);
  holes.forEach((hole, i) => {
    const path = at(`holes[${i}]`);
    const out = (message: string): void => {
      problems.push({
        code: 'hole-not-inside',
        path,
        message,
        hint: 'A hole lies inside the outline and clear of other holes.',
      });
    };
    if (!hole.every((q) => q.every(Number.isFinite)) || hole.length < 3)
      out(`Hole ${i + 1} is not an outline.`);
    else if (!hole.every((q) => contains(corners, q))) out(`Hole ${i + 1} reaches over the edge.`);
    else if (
      holes.some(
        (other, j) =>
          j !== i && (other.some((q) => contains(hole, q)) || (j < i && crossingLoops(hole, other))),
      )
    )
      out(`Hole ${i + 1} runs into another hole.`);
  });
  return problems;
}

const circleCorners = ({ x, y, diameter }: { x: number; y: number; diameter: number }): Vec2[] =>
  Array.from({ length: 48 }, (_, k) => {
    const a = (k / 48) * 2 * Math.PI;
    return [x + (diameter / 2) * Math.cos(a), y + (diameter / 2) * Math.sin(a)] as const;
  });

function contains(corners: Vec2[], q: Vec2): boolean {
  let odd = false;
  corners.forEach((a, i) => {
    const b = corners[(i + 1) % corners.length]!;
    if (a[1] <= q[1] !== b[1] <= q[1] && a[0] + ((q[1] - a[1]) / (b[1] - a[1])) * (b[0] - a[0]) > q[0])
      odd = !odd;
  });
  return odd;
}

const crossingLoops = (one: Vec2[], two: Vec2[]): boolean =>
  one.some((a, i) =>
    two.some((c, j) => crossing(a, one[(i + 1) % one.length]!, c, two[(j + 1) % two.length]!)),
  );

function checkWire(shape: Extract<Shape, { kind: 'wire' }>, at: (name: string) => string): Problem[] {
  const problem = (name: string, message: string, hint: string): Problem[] => [
    { code: 'wire-path', path: at(name), message, hint },
  ];
  const { path, diameter, bend, loop } = shape;
  if (
    !Array.isArray(path) ||
    path.length < 2 ||
    !path.every((p) => p.length === 3 && p.every(Number.isFinite))
  )
    return problem(
      'path',
      'The path of the wire is not a chain of at least two points.',
      'Give the points it runs through, end to end.',
    );
  if (
    path.some(
      (p, i) =>
        i > 0 && Math.hypot(p[0] - path[i - 1]![0], p[1] - path[i - 1]![1], p[2] - path[i - 1]![2]) < 1e-6,
    )
  )
    return problem(
      'path',
      'Two points of the wire follow each other at the same place.',
      'Leave one of them out.',
    );
  if (bend !== undefined && !(bend >= diameter))
    return problem(
      'bend',
      `A bend of ${mm(bend)} radius is too tight for a wire of ${mm(diameter)}.`,
      'The radius of the centre line is at least the wire diameter.',
    );
  if (
    loop &&
    !(loop.diameter >= 2.2 * diameter && loop.axis.every(Number.isFinite) && Math.hypot(...loop.axis) > 0)
  )
    return problem(
      'loop',
      `A loop of ${mm(loop.diameter)} cannot be bent from wire of ${mm(diameter)}.`,
      'The loop diameter is that of its centre line: more than twice the wire.',
    );
  if (!wirePath(shape))
    return problem(
      'path',
      'The bends of the wire need more length than the straight pieces between them have.',
      'Move the points apart, leave some out, or give a smaller bend radius.',
    );
  return [];
}

function checkCase(shape: Extract<Shape, { kind: 'round-case' }>, at: (name: string) => string): Problem[] {
  const { strap, width, reach, height } = shape.lugs;
  const say = (name: string, message: string): Problem[] => [
    {
      code: 'case-measures',
      path: at(name),
      message,
      hint: 'Measure the case again; lengths are in one unit.',
    },
  ];
  if (shape.bore >= shape.diameter) return say('bore', 'The bore is not smaller than the case.');
  if (2 * shape.rounding > Math.min(shape.height, (shape.diameter - shape.bore) / 2))
    return say('rounding', `Edges rounded by ${mm(shape.rounding)} do not fit the case wall.`);
  if (![strap, width, reach, height].every((x) => Number.isFinite(x) && x > 0))
    return say('lugs', 'A measure of the lugs is missing or not above zero.');
  if (reach <= shape.diameter / 2) return say('lugs', 'The lugs do not reach beyond the case.');
  if (strap / 2 + width > shape.diameter / 2) return say('lugs', 'The lugs stand wider apart than the case.');
  return [];
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
