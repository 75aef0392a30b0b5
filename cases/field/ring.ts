import { figuresOf, type Law } from '../../src/field/index.js';
import { type BodySpec, buildDomain, type Domain, turnAbout } from '../../src/geometry/index.js';
import type { Study } from '../runner.js';
import { anode, cathode, fixed, linear, type Solved, solve, wall } from './tools.js';

const ring: BodySpec = {
  name: 'ring',
  role: 'part',
  form: { kind: 'band-ring', outerDiameter: 0.02, thickness: 0.002, height: 0.006, rounding: 0.0004 },
  placement: { position: [0, 0, 0.045], turn: turnAbout([1, 0, 0], Math.PI / 2) },
};
const rod = (x: number, name: string): BodySpec => ({
  name,
  role: 'anode',
  form: { kind: 'rod', diameter: 0.006, length: 0.07 },
  placement: { position: [x, 0, 0.055] },
});
const hook: BodySpec = {
  name: 'hook',
  role: 'hook',
  form: {
    kind: 'wire',
    diameter: 0.0005,
    path: [
      [0, 0, 0.054],
      [0, 0, 0.09],
    ],
  },
  placement: { position: [0, 0, 0] },
};

const SET_UPS: Record<string, BodySpec[]> = {
  'one-anode': [ring, rod(0.025, 'anode 1')],
  'hook-two-anodes': [ring, rod(0.025, 'anode 1'), rod(-0.025, 'anode 2'), hook],
};
const LAWS: Record<string, Law> = { linear: linear(5e-4), primary: fixed };

const domains = new Map<string, Promise<Domain>>();

async function domain(name: string): Promise<Domain> {
  let found = domains.get(name);
  if (!found) {
    found = buildDomain(
      { bodies: SET_UPS[name], vessel: { kind: 'beaker', diameter: 0.08, height: 0.1 }, liquidHeight: 0.08 },
      { quality: 'standard' },
    ).then((outcome) => {
      if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
      return outcome.value;
    });
    domains.set(name, found);
  }
  return found;
}

interface Figures {
  resistance: number;
  low: number;
  high: number;
  hookShare: number;
}

const results = new Map<string, Promise<Figures>>();

function figures(setUp: string, law: string): Promise<Figures> {
  const key = `${setUp}/${law}`;
  const known = results.get(key);
  if (known) return known;
  const made = compute(setUp, law);
  results.set(key, made);
  return made;
}

async function compute(setUp: string, law: string): Promise<Figures> {
  const { surface, mirrorHeight } = await domain(setUp);
  const kinetics = {
    conductivity: 4,
    patches: surface.patchNames.map((name) =>
      name === 'wall' ? wall : name.startsWith('anode') ? anode() : cathode(LAWS[law]),
    ),
    drive: { voltage: 1 },
  };
  // Linear kinetics need three nodes a panel, the steep edges of the primary distribution six.
  const nodesPerPanel = law === 'primary' ? 6 : 3;
  const solved: Solved = solve({ surface, mirrorHeight: mirrorHeight!, nodesPerPanel }, kinetics);
  const { resistance, quantiles } = figuresOf(solved.solver, kinetics, solved.result);
  const patch = surface.patchNames.indexOf('ring');
  const onHook = surface.patchNames.indexOf('hook');
  return {
    resistance,
    low: quantiles[patch][2],
    high: quantiles[patch][6],
    hookShare: onHook < 0 ? 0 : -solved.result.patches[onHook].current / solved.result.current,
  };
}

export const study: Study = {
  ...Object.fromEntries(
    Object.keys(SET_UPS).flatMap((setUp) =>
      Object.keys(LAWS).flatMap((law) =>
        (['resistance', 'low', 'high'] as const).map((figure) => [
          `${setUp}-${law}-${figure}`,
          async () => (await figures(setUp, law))[figure],
        ]),
      ),
    ),
  ),
  'hook-share-linear': async () => (await figures('hook-two-anodes', 'linear')).hookShare,
  'hook-share-primary': async () => (await figures('hook-two-anodes', 'primary')).hookShare,
};
