import { plateable, weighedThickness } from '../../process/index.js';
import { printQuantity } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import type { Verb, VerbResult } from '../verb.js';

/** Mean thickness and efficiency from the weight gained, and what the scale cannot see. */
export const weigh: Verb = {
  name: 'weigh',
  summary: 'Mean thickness and efficiency from the weight a part gained, with what the scale cannot see.',
  arguments: [],
  options: [
    { flags: '--metal <metal>', description: 'deposited, e.g. nickel' },
    { flags: '--before <mass>', description: 'weight before, dry' },
    { flags: '--after <mass>', description: 'weight after, dry' },
    { flags: '--area <area>', description: 'plated area' },
    { flags: '--area-uncertainty <share>', description: 'half of a 9-in-10 interval; "15 %" when left out' },
    { flags: '--scale <mass>', description: 'one step of the scale; "0.01 g" when left out' },
    { flags: '--charge <charge>', description: 'counted, e.g. "1.2 Ah"; gives the efficiency' },
    { flags: '--valence <n>', description: 'electrons an atom; the usual one when left out' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const name = reader.required('metal');
  const valence = reader.text('valence');
  const metal = name && reader.take(plateable(shippedLibrary(), name, valence ? Number(valence) : undefined));
  if (valence !== undefined && !/^[1-6]$/.test(valence))
    reader.problems.push({
      code: 'valence-unknown',
      path: '--valence',
      message: `--valence is "${valence}".`,
      hint: 'A whole number from 1 to 6.',
    });
  const before = reader.quantity('before', 'mass', { required: true, positive: true });
  const after = reader.quantity('after', 'mass', { required: true, positive: true });
  const area = reader.quantity('area', 'area', { required: true, positive: true });
  const step = reader.quantity('scale', 'mass', { positive: true }) ?? 1e-5;
  // Areas by calliper and outline are trusted to 10-15 % in kit leaflets.
  const areaUncertainty = reader.quantity('area-uncertainty', 'fraction') ?? 0.15;
  const charge = reader.quantity('charge', 'charge', { positive: true });
  if (
    reader.problems.length > 0 ||
    !metal ||
    before === undefined ||
    after === undefined ||
    area === undefined
  )
    return { status: 'refused', problems: reader.problems };
  const found = weighedThickness(metal, {
    before,
    after,
    step,
    area,
    areaUncertainty,
    ...(charge !== undefined && { charge }),
  });
  const um = (x: number) => printQuantity(x, 'um', 'length');
  const percent = (x: number) => printQuantity(x, '%', 'fraction');
  return {
    status: 'done',
    json: found,
    text: [
      found.unseen
        ? `The scale cannot see it: below ${um(found.smallest)} on this area.`
        : `${um(found.mean)} in the mean, ${um(found.low)} to ${um(found.high)} (9 in 10)`,
      ...(found.efficiency
        ? [
            `efficiency ${percent(found.efficiency.value)}, ${percent(found.efficiency.low)} to ${percent(found.efficiency.high)}`,
          ]
        : []),
      'A mean says nothing of the thinnest place; the forecast or a coupon does.',
    ].join('\n'),
  };
}
