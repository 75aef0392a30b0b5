import type { Study } from '../runner.js';
import { forecastOf, type JobEdit } from './run.js';

const plate = { kind: 'box', x: '20 mm', y: '3 mm', z: '30 mm' };

/** A small steel block in a box tank with one nickel rod well away from it. */
const base = (edit: JobEdit = {}) =>
  forecastOf({
    platewright: 1,
    name: 'bench practice',
    part: { solid: { shape: plate }, substrate: 'copper', position: ['0 mm', '0 mm', '50 mm'] },
    hook: { diameter: '0.4 mm' },
    vessel: { kind: 'box-tank', length: '240 mm', width: '100 mm', height: '120 mm', depth: '100 mm' },
    bath: { record: 'watts-nickel' },
    anodes: [
      {
        solid: { shape: { kind: 'rod', diameter: '6 mm', length: '110 mm' } },
        metal: 'Ni',
        position: ['0 mm', '-40 mm', '65 mm'],
      },
    ],
    aim: { thickness: '10 um' },
    steps: [{ name: 'plate', drive: { currentDensity: '2 A/dm2' } }],
    quality: 'draft',
    ...edit,
  });

const part = (more: Record<string, unknown>) => ({
  solid: { shape: plate },
  substrate: 'copper',
  position: ['0 mm', '0 mm', '50 mm'],
  ...more,
});

/** Mean thickness on a region over the mean of the whole part. */
async function relative(
  region: unknown,
  edit: JobEdit = {},
  where: Record<string, unknown> = {},
): Promise<number> {
  const { forecast } = await base({ ...edit, part: part({ ...where, significant: [region] }) });
  return forecast.thickness.significant.mean / forecast.thickness.mean;
}

const foot = { sphere: { centre: ['0 mm', '0 mm', '15 mm'], radius: '3 mm' } };
const side = (y: number) => ({ facing: { direction: [0, y, 0], within: '30 deg' } });

export const study: Study = {
  'thick-wire-shadow': async () =>
    (await relative(foot, { hook: { diameter: '0.4 mm' } })) /
    (await relative(foot, { hook: { diameter: '2.6 mm' } })),
  'against-the-wall': async () => {
    const ratio = async (y: string) => {
      const where = { position: ['0 mm', y, '50 mm'] };
      return (await relative(side(1), {}, where)) / (await relative(side(-1), {}, where));
    };
    return (await ratio('0 mm')) / (await ratio('47 mm'));
  },
  'more-volts-more-amps': async () => {
    const amps = async (voltage: string) =>
      (await base({ steps: [{ name: 'plate', drive: { voltage }, time: '10 min' }] })).forecast.current;
    return (await amps('1.6 V')) / (await amps('1.2 V'));
  },
  'strip-wears-before-rod': async () => {
    const strip = { kind: 'plate', x: '9.2 mm', y: '110 mm', thickness: '0.5 mm' };
    const anode = {
      solid: { shape: strip },
      metal: 'Ni',
      position: ['0 mm', '-40 mm', '65 mm'],
      turn: ['90 deg', '0 deg', '0 deg'],
    };
    const runs = async (edit: JobEdit) => (await base(edit)).forecast.anodes[0]!.runsLeft;
    return (await runs({})) / (await runs({ anodes: [anode] }));
  },
  'stirring-keeps-edges-sound': async () => {
    const worst = async (agitation: string) => {
      const { map } = await base({ bath: { record: 'watts-nickel', agitation } });
      return Math.max(...map.limitFraction);
    };
    return (await worst('still')) / (await worst('stirred'));
  },
  'farther-is-more-even': async () => {
    const unevenness = async (x: string) => {
      const anode = {
        solid: { shape: { kind: 'rod', diameter: '6 mm', length: '110 mm' } },
        metal: 'Ni',
        position: [x, '0 mm', '65 mm'],
      };
      const q = (await base({ anodes: [anode] })).forecast.thickness.significant.quantiles;
      return q['0.95']! / q['0.05']!;
    };
    return (await unevenness('25 mm')) / (await unevenness('110 mm'));
  },
};
