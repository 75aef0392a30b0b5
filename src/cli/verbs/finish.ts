import {
  adhesionTests,
  bakePlan,
  depositSystem,
  findDeposit,
  findSubstrate,
  levelling,
  plateable,
  polishOrder,
  SERVICE,
  threadRoom,
} from '../../process/index.js';
import { printQuantity } from '../../units/index.js';
import { shippedLibrary } from '../library.js';
import { OptionReader } from '../options.js';
import { shippedPractice } from '../practice.js';
import type { Verb, VerbResult } from '../verb.js';

const um = (x: number) => printQuantity(x, 'um', 'length');

/** How thick, in which layers, and what that means for threads, pits, baking and acceptance. */
export const finish: Verb = {
  name: 'finish',
  summary: 'Layers and least thickness for a service, with threads, pits, baking and adhesion tests.',
  arguments: [],
  options: [
    { flags: '--deposit <name>', description: 'as in prepare --list' },
    { flags: '--base <name>', description: 'metal of the part, as in prepare --list' },
    { flags: '--service <word>', description: SERVICE.join(', ') },
    {
      flags: '--evenness <share>',
      description: 'thinnest significant place over the mean; "1" when left out',
    },
    { flags: '--polish <length>', description: 'taken off by the last polish; "2 um" when left out' },
    { flags: '--wear <length>', description: 'that may wear off; "0 um" when left out' },
    { flags: '--pitch <length>', description: 'thread pitch, e.g. "1 mm"' },
    { flags: '--members <n>', description: '1 bolt or nut plated, 2 both; 1 when left out' },
    { flags: '--pit <length>', description: 'deepest pit to bury with copper' },
    { flags: '--scratch <length>', description: 'deepest scratch now; gives the polishing order' },
    {
      flags: '--smooth <length>',
      description: 'scratch depth that is good enough; "0.6 um" (bright) when left out',
    },
    { flags: '--strength <pressure>', description: 'tensile strength of the steel, e.g. "1100 MPa"' },
  ],
  run: async (_args, options) => run(new OptionReader(options)),
};

function run(reader: OptionReader): VerbResult {
  const library = shippedLibrary();
  const practice = shippedPractice();
  const deposit = reader.required('deposit');
  const base = reader.required('base');
  const service = reader.word('service', SERVICE, 'moderate');
  const evenness = reader.quantity('evenness', 'fraction') ?? 1;
  // The last colour buff takes 1-3 um (from memory).
  const polish = reader.quantity('polish', 'length') ?? 2e-6;
  const wear = reader.quantity('wear', 'length') ?? 0;
  const pitch = reader.quantity('pitch', 'length', { positive: true });
  const members = reader.word('members', ['1', '2'], '1') === '2' ? 2 : 1;
  const pit = reader.quantity('pit', 'length', { positive: true });
  const scratch = reader.quantity('scratch', 'length', { positive: true });
  const smooth = reader.quantity('smooth', 'length', { positive: true }) ?? 0.6e-6;
  const strength = reader.quantity('strength', 'pressure', { positive: true });
  if (deposit === undefined || base === undefined) return { status: 'refused', problems: reader.problems };

  const system = reader.take(
    depositSystem(library, practice, { deposit, base, service, evenness, polish, wear }),
  );
  const coat = findDeposit(practice, deposit);
  const bake =
    strength === undefined
      ? undefined
      : reader.take(bakePlan(practice, strength, coat.ok ? coat.value.id : deposit));
  if (reader.problems.length > 0 || !system) return { status: 'refused', problems: reader.problems };

  const total = system.layers.reduce((sum, l) => sum + l.mean, 0);
  const thread =
    pitch === undefined
      ? undefined
      : reader.take(threadRoom(practice, { pitch, thickness: total, members, angle: Math.PI / 3 }));
  const copper = plateable(library, 'copper');
  if (!copper.ok) throw new Error('copper is not in the library');
  // Acid copper at 2 A/dm2 and full efficiency: the middle of the bench's range.
  const pits = pit === undefined ? undefined : levelling(copper.value, pit, 200, 1);
  const part = findSubstrate(practice, base);
  const surface = bake?.after ? 'hard-steel' : (part.ok && part.value.surface) || '';
  const adhesion = adhesionTests(practice, {
    thickness: total,
    metal: system.layers.at(-1)!.metal,
    base: surface,
  });
  const polishing = scratch === undefined ? undefined : polishOrder(practice, scratch, smooth);
  const json = {
    ...system,
    ...(polishing && { polishing }),
    ...(thread && { thread }),
    ...(pits && { pits }),
    ...(bake && { bake }),
    adhesion,
  };
  const lines = [
    `${system.standard}, ${service} service (${system.source})`,
    ...system.layers.map(
      (l) =>
        `  ${l.metal}: at least ${um(l.least)}, plate ${um(l.mean)} in the mean${l.note ? ` (${l.note})` : ''}`,
    ),
    ...system.warnings.map((w) => `  - ${w}`),
  ];
  if (thread)
    lines.push(
      `Thread: pitch diameter grows ${um(thread.growth)}` +
        (thread.room === undefined
          ? '; no table for this pitch, measure'
          : `, 6g leaves ${um(thread.room)}: ${thread.fits ? 'fits' : 'too tight'}; at most ${um(thread.largest!)} each`),
    );
  if (pits)
    lines.push(
      `Pits: ${um(pits.copper.min)} to ${um(pits.copper.max)} of copper, sanded back ${um(pits.sanded.min)} to ${um(pits.sanded.max)}; ` +
        `${printQuantity(pits.time.min, 'h', 'time')} to ${printQuantity(pits.time.max, 'h', 'time')} at 2 A/dm2 in ${pits.rounds.min}-${pits.rounds.max} rounds`,
    );
  if (polishing)
    lines.push(
      `Polish (takes ${um(polishing.reduce((sum, s) => sum + s.takes, 0))} in all):`,
      ...polishing.map(
        (s) => `  ${s.abrasive}: take ${um(s.takes)}, until ${s.until}; leaves ${um(s.leaves)}`,
      ),
    );
  if (bake?.after)
    lines.push(
      `Bake: ${printQuantity(bake.after.time, 'h', 'time')} at 190 to ${printQuantity(bake.after.temperature.max, 'C', 'temperature')}, begin within ${printQuantity(bake.after.startWithin, 'h', 'time', 1)} (${bake.after.source})`,
    );
  lines.push(...(bake?.remarks ?? []).map((r) => `  - ${r}`));
  lines.push(
    'Adhesion (ASTM B571):',
    ...adhesion.map((t) => `  ${t.title}${t.onCoupon ? ' (on a coupon)' : ''}: ${t.how}`),
  );
  return { status: 'done', json, text: lines.join('\n') };
}
