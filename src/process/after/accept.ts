import { readCite } from '../records/cite.js';
import type { Practice } from '../records/practice.js';

export interface AdhesionChoice {
  id: string;
  title: string;
  how: string;
  /** Where the test spoils the part, it is made on a coupon plated together with it. */
  onCoupon: boolean;
  source: string;
}

export interface AdhesionRequest {
  /** Mean deposit thickness [m]. */
  thickness: number;
  /** Outermost metal. */
  metal: string;
  /** Surface id of the base, e.g. `steel`. */
  base: string;
}

/** Deposits soft enough to bend and draw; bright nickel, chromium and rhodium crack first (common practice, no source). */
const DUCTILE = ['copper', 'tin', 'zinc', 'silver', 'gold'];

const QUENCH_GROUP: Record<string, string> = {
  steel: 'iron',
  'hard-steel': 'iron',
  'cast-iron': 'iron',
  stainless: 'iron',
  copper: 'copper',
  brass: 'copper',
  'leaded-brass': 'copper',
  bronze: 'copper',
  'nickel-silver': 'copper',
  zinc: 'zinc',
  tin: 'lead-tin',
  solder: 'lead-tin',
};

/** Tests of ASTM B571 a bench can make on this deposit, the gentle ones first. */
export function adhesionTests(practice: Practice, request: AdhesionRequest): AdhesionChoice[] {
  const { thickness, metal, base } = request;
  return [...practice.adhesion.values()]
    .filter(
      (t) =>
        t.bench &&
        thickness >= (t.thinnest ?? 0) &&
        thickness <= (t.thickest ?? Number.POSITIVE_INFINITY) &&
        (!t.ductile || DUCTILE.includes(metal)),
    )
    .flatMap((t): AdhesionChoice[] => {
      const told = {
        id: t.id,
        title: t.title,
        onCoupon: t.destroys,
        source: readCite(practice.sources, t.cite).text,
      };
      if (t.id !== 'heat-quench') return [{ ...told, how: t.how }];
      const oven = practice.quench.get(QUENCH_GROUP[base] ?? '');
      // Tin melts and hard steel loses its temper: no quench test there.
      if (!oven || metal === 'tin' || base === 'hard-steel') return [];
      const celsius = Math.round(oven.temperature - 273.15);
      return [{ ...told, how: `${t.how} Oven ${celsius} C for this base (to be checked in the standard).` }];
    })
    .sort((a, b) => Number(a.onCoupon) - Number(b.onCoupon));
}

export interface Measured {
  what: string;
  /** Result in words, e.g. `8.1 um, 7.4-8.8 um (9 in 10)`. */
  result: string;
  how: string;
}

/** What a certificate of a bench must admit when it was not measured. */
const ASKED = [
  'mean thickness',
  'thickness at the thinnest significant place',
  'adhesion',
  'porosity',
  'appearance',
  'nickel release (EN 1811)',
  'corrosion test',
  'hardness',
];

/** Lines of the certificate: what was measured and how, and, as plainly, what was not. */
export function certificate(measured: readonly Measured[]): { measured: string[]; notMeasured: string[] } {
  const done = new Set(measured.map((m) => m.what));
  return {
    measured: measured.map((m) => `${m.what}: ${m.result} (${m.how})`),
    notMeasured: ASKED.filter((what) => !done.has(what)),
  };
}
