import { wastePlan } from '../../process/index.js';
import { printQuantity } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

/** Metal held in a spent bath or rinse, alkali to take it out, what stays dissolved. */
export const waste: Verb = {
  name: 'waste',
  summary: 'Metal in a spent bath or rinse, the alkali that takes it out, what stays dissolved, the label.',
  arguments: [],
  options: [
    { flags: '--metal <name>', description: 'nickel, copper, zinc or tin' },
    { flags: '--volume <volume>', description: 'e.g. "2 L"' },
    { flags: '--concentration <concentration>', description: 'of the metal, e.g. "12 g/L"' },
    {
      flags: '--acid <concentration>',
      description: 'free acid to neutralise first, e.g. "0.83 mol/L" for 5 % vinegar',
    },
    { flags: '--ph <pH>', description: 'it is brought to; "10.5 pH" when left out' },
    { flags: '--complexant', description: 'it holds citrate, ammonia, tartrate or EDTA' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const metal = reader.required('metal');
  const volume = reader.quantity('volume', 'volume', { required: true, positive: true });
  const concentration = reader.quantity('concentration', 'massConcentration', { required: true });
  const acid = reader.quantity('acid', 'amountConcentration') ?? 0;
  const ph = reader.ph('ph', 10.5);
  if (metal === undefined || volume === undefined || concentration === undefined)
    return { status: 'refused', problems: reader.problems };
  const plan = reader.take(
    wastePlan(shippedLibrary(), shippedPractice(), {
      metal,
      volume,
      concentration,
      acid,
      ph,
      complexant: reader.flag('complexant'),
    }),
  );
  if (reader.problems.length > 0 || !plan) return { status: 'refused', problems: reader.problems };
  const mgL = (c: number) => printQuantity(c, 'mg/L', 'massConcentration', 2);
  const g = (m: number) => printQuantity(m, 'g', 'mass');
  return {
    status: 'done',
    json: plan,
    text: [
      `${g(plan.metalHeld)} of metal held; ${g(plan.sludge)} of dry hydroxide`,
      `alkali, one of: ${plan.alkali.map((a) => `${g(a.mass)} ${a.name} (${a.remark})`).join('; ')}`,
      `pH window ${plan.window.from}-${plan.window.to}; at pH ${ph} ${mgL(plan.residual.low)} to ${mgL(plan.residual.high)} stay dissolved` +
        (plan.limit === undefined ? '' : `, limit ${mgL(plan.limit)} (US metal finishing, daily)`),
      `baking soda stops near pH 8.3: ${mgL(plan.bakingSoda.low)} to ${mgL(plan.bakingSoda.high)} stay`,
      ...(plan.dilution
        ? [`dilution to the limit would take ${Math.ceil(plan.dilution)} times its volume, and is forbidden`]
        : []),
      `label: ${plan.label}`,
      ...plan.warnings.map((w) => `  - ${w}`),
    ].join('\n'),
  };
}
