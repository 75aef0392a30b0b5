import { dragOut, handsOn, plateable, prepare, quote } from '../../process/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** A quote from hands-on time, metal at a typed price, drag-out, energy, waste and the risk of doing it again. */
export const price: Verb = {
  name: 'price',
  summary: 'A quote from time, metal at your price, drag-out, energy, waste and the risk of redoing it.',
  arguments: [],
  options: [
    { flags: '--substrate <name>', description: 'metal of the part, as in prepare --list' },
    { flags: '--deposit <name>', description: 'what shall lie on it' },
    { flags: '--area <area>', description: 'plated area, e.g. "1 dm2"' },
    { flags: '--thickness <length>', description: 'mean thickness, e.g. "15 um"' },
    { flags: '--labour <money>', description: 'an hour, in your currency' },
    { flags: '--metal-price <money>', description: 'a kilogram of the metal; 0 when left out' },
    { flags: '--bath-price <money>', description: 'a litre of bath; 0 when left out' },
    { flags: '--energy-price <money>', description: 'a kilowatt-hour; 0 when left out' },
    { flags: '--energy <kWh>', description: 'used by heater and supply; 0.5 when left out' },
    { flags: '--waste-price <money>', description: 'a kilogram handed in; 0 when left out' },
    {
      flags: '--polish <time>',
      description: 'of finishing the surface, e.g. "90 min"; 0.5-3 h when left out',
    },
    { flags: '--redo <share>', description: 'of such jobs that fail; "10 %" when left out' },
    { flags: '--margin <share>', description: 'on cost; "0 %" when left out' },
    { flags: '--tax <share>', description: 'sales tax; "0 %" when left out' },
    { flags: '--currency <word>', description: 'shown behind the amounts; EUR when left out' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const practice = shippedPractice();
  const substrate = reader.required('substrate');
  const deposit = reader.required('deposit');
  const area = reader.quantity('area', 'area', { required: true, positive: true });
  const thickness = reader.quantity('thickness', 'length', { required: true, positive: true });
  const labour = reader.money('labour');
  const polish = reader.quantity('polish', 'time', { positive: true });
  const found =
    substrate !== undefined && deposit !== undefined && reader.take(prepare(practice, substrate, deposit));
  if (labour === undefined)
    reader.problems.push({ code: 'option-missing', path: '--labour', message: '--labour was not given.' });
  const prices = {
    metal: reader.money('metal-price') ?? 0,
    bath: reader.money('bath-price') ?? 0,
    energy: reader.money('energy-price') ?? 0,
    waste: reader.money('waste-price') ?? 0,
  };
  const kilowattHours = reader.money('energy') ?? 0.5;
  const shares = {
    redo: reader.share('redo', 0.1),
    margin: reader.share('margin', 0),
    tax: reader.share('tax', 0),
  };
  if (
    reader.problems.length > 0 ||
    !found ||
    area === undefined ||
    thickness === undefined ||
    labour === undefined
  )
    return { status: 'refused', problems: reader.problems };
  const last = found.steps.findLast((s) => s.metal !== undefined);
  if (!last)
    return {
      status: 'refused',
      problems: found.reasons.map((message) => ({ code: 'combination-refused', path: '--deposit', message })),
    };

  const metal = plateable(shippedLibrary(), last.metal!);
  if (!metal.ok) throw new Error(`${last.metal} is not in the library`);
  const past =
    polish === undefined ? {} : { 'finish-surface': polish, 'buff-lightly': polish, 'blast-casting': polish };
  const times = handsOn(found.steps, past);
  const baths = found.steps.filter((s) => s.bath.ph !== undefined && s.kind !== 'rinse').length;
  const dragged = dragOut(area, 0).volume * baths;
  const result = reader.take(
    quote({
      currency: reader.text('currency') ?? 'EUR',
      time: {
        min: times.reduce((sum, t) => sum + t.min, 0),
        max: times.reduce((sum, t) => sum + t.max, 0),
      },
      labour,
      metals: [
        { name: last.metal!, mass: area * thickness * metal.value.density, perKilogram: prices.metal },
      ],
      chemicals: [{ name: 'baths dragged out', volume: dragged, perLitre: prices.bath }],
      energy: kilowattHours * 3.6e6,
      perKilowattHour: prices.energy,
      // A tenth of a kilogram of wipes and gloves beside what was dragged out (judgement).
      waste: 0.1 + dragged * 1e3,
      wastePerKilogram: prices.waste,
      ...shares,
    }),
  );
  if (!result) return { status: 'refused', problems: reader.problems };
  const money = (x: number) => x.toFixed(2).padStart(9);
  const row = (what: string, { min, max }: { min: number; max: number }, how = '') =>
    `${what.padEnd(24)}${money(min)} ${money(max)}  ${how}`.trimEnd();
  return {
    status: 'done',
    json: { ...result, times },
    text: [
      `${''.padEnd(24)}${'from'.padStart(9)} ${'to'.padStart(9)}  ${result.currency}`,
      ...result.lines.map((l) => row(l.what, l, l.how)),
      row('net', result.net),
      ...(shares.tax > 0 ? [row('tax', result.tax)] : []),
      row('total', result.total),
      `${Math.round(result.labourShare * 100)} % of it is a person's time.`,
    ].join('\n'),
  };
}
