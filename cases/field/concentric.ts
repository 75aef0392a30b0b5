import type { Law } from '../../src/field/index.js';
import { chartSurface, spherePatches, steps } from '../../src/field/testing/surfaces.js';
import type { Study } from '../runner.js';
import {
  annulus,
  anode,
  cathode,
  DEPTH,
  fixed,
  linear,
  once,
  rectangle,
  type Solved,
  solve,
  wall,
} from './tools.js';

const R1 = 0.005;
const R2 = 0.05;
const SIZE = 0.05;

const transfer = (i0: number, anodic: number, cathodic: number): Law => ({
  kind: 'butler-volmer',
  exchangeCurrentDensity: i0,
  anodicTransfer: anodic,
  cathodicTransfer: cathodic,
  temperature: 298.15,
});

/** Conductivity [S/m], voltage [V], laws of cathode (inner) and anode (outer). */
const KINETICS: Record<string, [number, number, Law, Law]> = {
  primary: [10, 2, fixed, fixed],
  linear: [10, 2, linear(5e-4), linear(2e-4)],
  bv: [10, 2, transfer(0.1, 0.5, 0.5), transfer(10, 0.5, 0.5)],
  'bv-Cu': [50, 0.5, transfer(10, 1.5, 0.5), transfer(10, 1.5, 0.5)],
  tafel: [10, 2, { kind: 'tafel', exchangeCurrentDensity: 0.1, slope: 0.12 }, fixed],
};

const circle =
  (radius: number) =>
  (a: number): readonly [number, number] => [radius * Math.cos(a), radius * Math.sin(a)];

const shapes = {
  cyl: {
    geometry: once(() =>
      annulus(
        circle(R1),
        circle(R2),
        steps(0, 2 * Math.PI, 20),
        [0, 0.1, 0.3, 0.6, 1],
        () => 1,
        ['inner', 'outer', 'floor'],
        SIZE,
      ),
    ),
    /** Current for each metre. */
    share: 1 / (DEPTH * SIZE),
    walls: 1,
  },
  sph: {
    geometry: once(() => ({
      surface: chartSurface(
        [...spherePatches([R1, R1, R1], 5, 0, 0), ...spherePatches([R2, R2, R2], 5, 1, 1)],
        ['inner', 'outer'],
      ),
    })),
    share: 1,
    walls: 0,
  },
  plane: {
    geometry: once(() =>
      rectangle([0, 0.05, 0.1], [0, 0.25, 0.5], (x) => (x === 0 ? 0 : x === 0.1 ? 1 : 2), [
        'cathode',
        'anode',
        'wall',
        'floor',
      ]),
    ),
    /** Current for each square metre. */
    share: 1 / (DEPTH * 0.5),
    walls: 2,
  },
};

type Shape = keyof typeof shapes;

function currents(shape: Shape, name: string): () => Solved {
  const [conductivity, voltage, inner, outer] = KINETICS[name];
  const { geometry, walls } = shapes[shape];
  return once(() =>
    solve(geometry(), {
      conductivity,
      patches: [cathode(inner), anode(outer), ...Array.from({ length: walls }, () => wall)],
      drive: { voltage },
    }),
  );
}

const CASES: [Shape, string][] = [
  ['cyl', 'primary'],
  ['cyl', 'linear'],
  ['cyl', 'bv'],
  ['sph', 'primary'],
  ['sph', 'bv-Cu'],
  ['plane', 'primary'],
  ['plane', 'linear'],
  ['plane', 'tafel'],
  ['plane', 'bv-Cu'],
];

/** Mean overpotential of a patch [V], from the potentials of metal and liquid. */
function overpotential({ result, solver }: Solved, patch: number): number {
  const { panel, weight, potential, count } = result.nodes;
  let area = 0;
  let sum = 0;
  for (let i = 0; i < count; i++) {
    if (solver.geometry.surface.patch[panel[i]] !== patch) continue;
    area += weight[i];
    sum += weight[i] * (result.patches[patch].potential - potential[i]);
  }
  return sum / area;
}

export const study: Study = Object.fromEntries(
  CASES.flatMap(([shape, name]) => {
    const solved = currents(shape, name);
    const id = `${shape}-${name}`;
    return [
      [`${id}-current`, () => solved().result.current * shapes[shape].share],
      ...(name === 'primary'
        ? []
        : [
            [`${id}-cathode`, () => -overpotential(solved(), 0)],
            [`${id}-anode`, () => overpotential(solved(), 1)],
          ]),
    ];
  }),
);
