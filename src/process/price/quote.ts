import { done, type Outcome, type Problem, refused } from '../../units/index.js';

/** Money is a plain number in the person's own currency; prices are typed, none is built in. */
export interface PriceRequest {
  currency: string;
  /** Hands-on time [s], from least to most likely most. */
  time: { min: number; max: number };
  /** Currency an hour. */
  labour: number;
  /** Metal laid on the part and the hook: name, mass [kg], price a kilogram. */
  metals: readonly { name: string; mass: number; perKilogram: number }[];
  /** Bath dragged out and cleaners used: name, volume [m3], price a litre. */
  chemicals: readonly { name: string; volume: number; perLitre: number }[];
  /** Energy [J] and price a kilowatt-hour. */
  energy: number;
  perKilowattHour: number;
  /** Waste [kg] and price a kilogram. */
  waste: number;
  wastePerKilogram: number;
  /** Chance that the job must be done again, 0 to below 1. */
  redo: number;
  /** Share on top of cost. */
  margin: number;
  /** Sales tax as a share of the net price. */
  tax: number;
}

export interface QuoteLine {
  what: string;
  /** Net, rounded to the cent. */
  min: number;
  max: number;
  how: string;
}

export interface Quote {
  currency: string;
  lines: QuoteLine[];
  net: { min: number; max: number };
  tax: { min: number; max: number };
  total: { min: number; max: number };
  /** Share of the net price that is a person's time. */
  labourShare: number;
}

const cent = (x: number) => Math.round((x + Number.EPSILON) * 100) / 100;
const KILOWATT_HOUR = 3.6e6;

/**
 * A quote line by line. Whoever must redo a share p of jobs pays p/(1-p) jobs more for each good one, materials and time
 * alike (geometric series: every repeat may fail again).
 */
export function quote(request: PriceRequest): Outcome<Quote> {
  const problems = check(request);
  if (problems.length > 0) return refused(...problems);
  const { currency, time, labour, redo, margin, tax } = request;
  const lines: QuoteLine[] = [
    {
      what: 'work',
      min: (time.min / 3600) * labour,
      max: (time.max / 3600) * labour,
      how: `${round(time.min / 3600)}-${round(time.max / 3600)} h at ${labour}/h`,
    },
    ...request.metals.map(({ name, mass, perKilogram }) =>
      line(name, mass * perKilogram, `${round(mass * 1e3)} g at ${perKilogram}/kg`),
    ),
    ...request.chemicals.map(({ name, volume, perLitre }) =>
      line(name, volume * 1e3 * perLitre, `${round(volume * 1e6)} mL at ${perLitre}/L`),
    ),
    line(
      'energy',
      (request.energy / KILOWATT_HOUR) * request.perKilowattHour,
      `${round(request.energy / KILOWATT_HOUR)} kWh`,
    ),
    line('waste', request.waste * request.wastePerKilogram, `${round(request.waste)} kg`),
  ].filter((l) => l.max > 0);
  const cost = sum(lines);
  const again = redo / (1 - redo);
  if (redo > 0)
    lines.push({
      what: 'risk of doing it again',
      min: cost.min * again,
      max: cost.max * again,
      how: `${round(redo * 100)} % of such jobs`,
    });
  const full = sum(lines);
  if (margin > 0)
    lines.push({
      what: 'margin',
      min: full.min * margin,
      max: full.max * margin,
      how: `${round(margin * 100)} % on cost`,
    });
  // Rounded line by line, so that the lines add up to the total to the cent.
  const rounded = lines.map((l) => ({ ...l, min: cent(l.min), max: cent(l.max) }));
  const net = sum(rounded);
  const taxed = { min: cent(net.min * tax), max: cent(net.max * tax) };
  return done({
    currency,
    lines: rounded,
    net: { min: cent(net.min), max: cent(net.max) },
    tax: taxed,
    total: { min: cent(net.min + taxed.min), max: cent(net.max + taxed.max) },
    labourShare: net.max > 0 ? rounded[0]!.max / net.max : 0,
  });
}

const line = (what: string, amount: number, how: string): QuoteLine => ({
  what,
  min: amount,
  max: amount,
  how,
});
const round = (x: number) => Number(x.toPrecision(3));
const sum = (lines: readonly QuoteLine[]) => ({
  min: lines.reduce((s, l) => s + l.min, 0),
  max: lines.reduce((s, l) => s + l.max, 0),
});

function check(r: PriceRequest): Problem[] {
  const problems: Problem[] = [];
  const bad = (path: string, message: string, hint?: string) =>
    problems.push({ code: 'price-impossible', path, message, ...(hint && { hint }) });
  if (!(r.time.min >= 0 && r.time.max >= r.time.min)) bad('time', 'The time runs backwards.');
  for (const [path, value] of Object.entries({
    labour: r.labour,
    energy: r.energy,
    perKilowattHour: r.perKilowattHour,
    waste: r.waste,
    wastePerKilogram: r.wastePerKilogram,
    margin: r.margin,
    tax: r.tax,
  }))
    if (!(value >= 0)) bad(path, `${path} is ${value}; it cannot be below zero.`);
  for (const { name, mass, perKilogram } of r.metals)
    if (!(mass >= 0 && perKilogram >= 0)) bad(name, `${name}: ${mass * 1e3} g at ${perKilogram} a kilogram.`);
  for (const { name, volume, perLitre } of r.chemicals)
    if (!(volume >= 0 && perLitre >= 0)) bad(name, `${name}: ${volume * 1e6} mL at ${perLitre} a litre.`);
  if (!(r.redo >= 0 && r.redo < 1))
    bad('redo', `A chance of ${r.redo} to do it again.`, 'Between 0 and below 1; at 1 the job never ends.');
  return problems;
}

/** Lines of an invoice: what was done at the agreed price, nothing of the inner sums. */
export function invoiceLines(
  quoted: Quote,
  price: number,
  taxShare: number,
  work: readonly string[],
): string[] {
  const tax = cent(price * taxShare);
  const money = (x: number) => `${x.toFixed(2)} ${quoted.currency}`;
  return [
    ...work,
    `net ${money(price)}`,
    ...(taxShare > 0 ? [`tax ${money(tax)}`] : []),
    `total ${money(cent(price + tax))}`,
  ];
}
