import { type Deposit, timeToBuild } from '../../electrode/index.js';
import { plain } from '../../units/index.js';

/** What the job knows, SI, by fact id; yes is 1 and no 0. */
export type Facts = Readonly<Record<string, number>>;

/** Share of the limiting current at the most exposed place that is safe: a third to a half (from memory); the middle. */
const SAFE_FRACTION = 0.4;

/** Amounts a remedy may name, each from the numbers of this job; undefined where the job does not know enough. */
const AMOUNTS: Record<string, (f: Facts, copper: Deposit) => string | undefined> = {
  safeCurrent: ({ current, currentFraction }) =>
    have(current, currentFraction) && currentFraction! > SAFE_FRACTION
      ? `${plain((current! * SAFE_FRACTION) / currentFraction!)} A`
      : undefined,
  /** Up to 15 g/L, where a home-made bath begins to behave (judgement). */
  metalShort: ({ metalConcentration, volume }) =>
    have(metalConcentration, volume) && metalConcentration! < 15
      ? `${plain((15 - metalConcentration!) * volume! * 1e3)} g of metal more for 15 g/L`
      : undefined,
  /** Twice the part's area of scrap, at the middle of 0.2-0.5 A/dm2. */
  dummyCurrent: ({ area }) =>
    have(area) ? `${plain(2 * area! * 35)} A on scrap of ${plain(2 * area! * 1e4)} cm2` : undefined,
  /** Anode at 1.5 A/dm2, between the usual 1 and 2-3. */
  anodeArea: ({ current }) => (have(current) ? `${plain((current! / 150) * 1e4)} cm2` : undefined),
  /** 3 g/L of active carbon, the middle of 2-4. */
  carbon: ({ volume }) => (have(volume) ? `${plain(3 * volume! * 1e3)} g` : undefined),
  /** 0.15 g/L of sodium lauryl sulfate, the middle of 0.1-0.2. */
  wetter: ({ volume }) =>
    have(volume) ? `${plain(0.15 * volume! * 1e3)} g of sodium lauryl sulfate` : undefined,
  densityCap: ({ area }) => (have(area) ? `at most ${plain(area! * 100)} A` : undefined),
  densityCapGold: ({ area }) => (have(area) ? `${plain(area! * 10)}-${plain(area! * 30)} A` : undefined),
  thicknessShort: ({ thickness }) =>
    have(thickness) && thickness! < 15e-6 ? `${plain((15e-6 - thickness!) * 1e6)} um short` : undefined,
  /** Hours a tenth of a millimetre of pit costs at 2 A/dm2, half as much again to twice its depth. */
  levelling: (_, copper) => {
    const hours = timeToBuild(copper, 200, 100e-6, 1) / 3600;
    return `1.5-2 times their depth, sanded back: ${plain(1.5 * hours)}-${plain(2 * hours)} h for 0.1 mm at 2 A/dm2`;
  },
};

const have = (...values: (number | undefined)[]) =>
  values.every((v) => v !== undefined && Number.isFinite(v));

export const AMOUNT_NAMES = Object.keys(AMOUNTS);

/** Puts this job's amounts into a remedy: `{name|otherwise}`. */
export function fillRemedy(remedy: string, facts: Facts, copper: Deposit): string {
  return remedy.replace(/\{(\w+)\|([^}]*)\}/g, (_, name: string, otherwise: string) => {
    const amount = AMOUNTS[name];
    if (!amount) throw new Error(`no amount "${name}" is known`);
    return amount(facts, copper) ?? otherwise;
  });
}
