import { growthPerCharge } from '../../electrode/index.js';
import { type Library, unknownName } from '../../library/index.js';
import { done, type Outcome, refused } from '../../units/index.js';
import { readCite } from '../records/cite.js';
import { findSubstrate } from '../records/find.js';
import type { Practice } from '../records/practice.js';
import type { Stripper } from '../records/shapes-finish.js';
import { plateable } from './metals.js';

export interface StripRequest {
  /** Metal of the old layer, e.g. `nickel`. */
  layer: string;
  /** Substrate below it. */
  base: string;
  /** Old layer, thickest place [m]. */
  thickness: number;
  /** Area in the bath [m2]. */
  area: number;
}

export interface StripWay {
  id: string;
  way: Stripper['way'];
  bath: string;
  allowed: boolean;
  /** What the bath does to the base, or why this way is closed. */
  onBase: string;
  /** Current for the whole area [A]. */
  current?: { min: number; max: number };
  /** Charge until the thickest place is through [C]. */
  charge?: { min: number; max: number };
  /** [s] */
  time?: { min: number; max: number };
  /** Metal that ends up in the bath or the dust [kg]. */
  removed?: number;
  stopWhen: string[];
  makes: string;
  caution: string;
  source: string;
}

/** Every known way to take a layer off a base, allowed ones first; the charge is Faraday's law backwards. */
export function stripWays(library: Library, practice: Practice, request: StripRequest): Outcome<StripWay[]> {
  const base = findSubstrate(practice, request.base, 'base');
  const layers = new Set([...practice.strippers.values()].map((s) => s.layer).filter((l) => l !== 'any'));
  const unknown = layers.has(request.layer) ? [] : [unknownName(request.layer, layers, 'layer', 'layer')];
  if (!base.ok || unknown.length > 0) return refused(...(base.ok ? [] : base.problems), ...unknown);
  const ways = [...practice.strippers.values()]
    .filter((s) => s.layer === request.layer || s.layer === 'any')
    .map((s) => describe(library, practice, s, base.value.id, request));
  return done(ways.sort((a, b) => Number(b.allowed) - Number(a.allowed)));
}

function describe(
  library: Library,
  practice: Practice,
  stripper: Stripper,
  base: string,
  { thickness, area }: StripRequest,
): StripWay {
  const { id, way, bath, onBase, stopWhen = [], makes = '', restricted = '' } = stripper;
  const known = onBase?.[base];
  const closed =
    way === 'refer'
      ? `${stripper.why} Who can: ${stripper.who}`
      : 'What it does to this base is not known here; a plating shop can try it on a scrap.';
  const common = {
    id,
    way,
    bath,
    allowed: way === 'mechanical' || known?.allowed === true,
    onBase:
      way === 'mechanical'
        ? `takes the base as fast as the layer: stop at ${Math.round(thickness * 1e6)} um, measure twice`
        : (known?.effect ?? closed),
    stopWhen,
    makes,
    caution: restricted,
    source: readCite(practice.sources, stripper.cite).text,
  };
  if (!stripper.metal) return common;
  const metal = plateable(library, stripper.metal, stripper.valence);
  if (!metal.ok) throw new Error(`stripper ${id} names no metal of the library`);
  const removed = thickness * area * metal.value.density;
  if (stripper.current && stripper.efficiency) {
    const ideal = (thickness * area) / growthPerCharge(metal.value);
    const charge = { min: ideal / stripper.efficiency.to, max: ideal / stripper.efficiency.from };
    const current = { min: stripper.current.from * area, max: stripper.current.to * area };
    return {
      ...common,
      removed,
      current,
      charge,
      time: { min: charge.min / current.max, max: charge.max / current.min },
    };
  }
  if (!stripper.rate) return { ...common, removed };
  return {
    ...common,
    removed,
    time: { min: thickness / stripper.rate.to, max: thickness / stripper.rate.from },
  };
}

/**
 * Thickness [m] a layer had, from what the part lost [kg] over its area [m2]: what must be put back.
 */
export const strippedThickness = (loss: number, area: number, density: number): number =>
  loss / (area * density);
