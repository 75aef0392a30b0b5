import {
  metalReaction,
  overpotentialAt,
  restBetween,
  throwingPower,
  wagnerNumber,
} from '../../src/electrode/index.js';
import type { Study } from '../runner.js';

type Law = (eta: number) => readonly [number, number];
type Shape = 'plane' | 'cyl' | 'sph';

/** Area of an electrode [m2, for each metre of a cylinder] and resistance between the two [ohm]. */
function geometry(shape: Shape, inner: number, outer: number, conductivity: number) {
  if (shape === 'plane') return { cathode: 1, anode: 1, ohms: (outer - inner) / conductivity };
  if (shape === 'cyl')
    return {
      cathode: 2 * Math.PI * inner,
      anode: 2 * Math.PI * outer,
      ohms: Math.log(outer / inner) / (2 * Math.PI * conductivity),
    };
  return {
    cathode: 4 * Math.PI * inner ** 2,
    anode: 4 * Math.PI * outer ** 2,
    ohms: (1 / inner - 1 / outer) / (4 * Math.PI * conductivity),
  };
}

const butlerVolmer = (exchange: number, cathodic: number, anodic: number): Law =>
  metalReaction(
    {
      equilibrium: 0,
      exchange,
      cathodic,
      anodic,
      limit: Number.POSITIVE_INFINITY,
      passivation: Number.POSITIVE_INFINITY,
    },
    298.15,
  );
const linear =
  (resistance: number): Law =>
  (eta) => [eta / resistance, 1 / resistance];
/** b = 0.12 V/decade, i0 = 0.1 A/m2, written as a transfer coefficient; the anodic branch is out of reach. */
const tafel = butlerVolmer(0.1, (0.025692579 * Math.LN10) / 0.12, 1);
const unpolarised: Law = (eta) => [eta * 1e12, 1e12];

/** Current of the cell at a voltage, and the overpotentials. */
function solve(shape: Shape, kappa: number, volts: number, cathode: Law, anode: Law) {
  const [inner, outer] = shape === 'plane' ? [0, 0.1] : [0.005, 0.05];
  const cell = geometry(shape, inner, outer, kappa);
  const etas = (current: number) => ({
    cathode: overpotentialAt({ at: cathode }, -current / cell.cathode),
    anode: overpotentialAt({ at: anode }, current / cell.anode),
  });
  const current = restBetween(
    (i) => etas(i).anode + i * cell.ohms - etas(i).cathode - volts,
    0,
    volts / cell.ohms,
  );
  return { current, ...etas(current) };
}

const K = {
  'cyl-linear': () => solve('cyl', 10, 2, linear(5e-4), linear(2e-4)),
  'cyl-bv': () => solve('cyl', 10, 2, butlerVolmer(0.1, 0.5, 0.5), butlerVolmer(10, 0.5, 0.5)),
  'sph-bv-cu': () => solve('sph', 50, 0.5, butlerVolmer(10, 0.5, 1.5), butlerVolmer(10, 0.5, 1.5)),
  'plane-linear': () => solve('plane', 10, 2, linear(5e-4), linear(2e-4)),
  'plane-tafel': () => solve('plane', 10, 2, tafel, unpolarised),
  'plane-bv-cu': () => solve('plane', 50, 0.5, butlerVolmer(10, 0.5, 1.5), butlerVolmer(10, 0.5, 1.5)),
};
/** Two cathodes 50 and 250 mm from one anode, 10 S/m, 5e-4 ohm m2 on each. */
const metals = (0.25 / 10 + 5e-4) / (0.05 / 10 + 5e-4);

export const study: Study = {
  'cyl-linear-current': () => K['cyl-linear']().current,
  'cyl-linear-cathode': () => -K['cyl-linear']().cathode,
  'cyl-linear-anode': () => K['cyl-linear']().anode,
  'cyl-bv-current': () => K['cyl-bv']().current,
  'cyl-bv-cathode': () => -K['cyl-bv']().cathode,
  'cyl-bv-anode': () => K['cyl-bv']().anode,
  'sph-bv-cu-current': () => K['sph-bv-cu']().current,
  'sph-bv-cu-cathode': () => -K['sph-bv-cu']().cathode,
  'sph-bv-cu-anode': () => K['sph-bv-cu']().anode,
  'plane-linear-current': () => K['plane-linear']().current,
  'plane-linear-cathode': () => -K['plane-linear']().cathode,
  'plane-linear-anode': () => K['plane-linear']().anode,
  'plane-tafel-current': () => K['plane-tafel']().current,
  'plane-tafel-cathode': () => -K['plane-tafel']().cathode,
  'plane-bv-cu-current': () => K['plane-bv-cu']().current,
  'plane-bv-cu-cathode': () => -K['plane-bv-cu']().cathode,
  'plane-bv-cu-anode': () => K['plane-bv-cu']().anode,
  wagner: () => wagnerNumber(10, (400 * Math.LN10) / 0.12, 0.05),
  'throw-haringblum': () => throwingPower(5, metals).haringBlum,
  'throw-heatley': () => throwingPower(5, metals).heatley,
  'throw-field': () => throwingPower(5, metals).field,
};
