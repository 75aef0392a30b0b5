import { bakePlan, depositSystem, type Service, threadRoom } from '../../src/process/index.js';
import type { Study } from '../runner.js';
import { library, practice, sure } from './records.js';

const bake = (mpa: number) => (sure(bakePlan(practice, mpa * 1e6)).after?.time ?? 0) / 3600;
const relief = (mpa: number) => (sure(bakePlan(practice, mpa * 1e6)).before?.time ?? 0) / 3600;

const SYSTEMS: Record<string, [deposit: string, base: string, service: Service]> = {
  'b456-steel-mild': ['nickel', 'mild-steel', 'mild'],
  'b456-steel-moderate': ['nickel', 'mild-steel', 'moderate'],
  'b456-steel-severe': ['nickel', 'mild-steel', 'severe'],
  'b456-steel-very-severe': ['nickel', 'mild-steel', 'very-severe'],
  'b456-steel-extended': ['nickel', 'mild-steel', 'extended'],
  'b633-mild': ['zinc', 'mild-steel', 'mild'],
  'b633-moderate': ['zinc', 'mild-steel', 'moderate'],
  'b633-severe': ['zinc', 'mild-steel', 'severe'],
  'b633-very-severe': ['zinc', 'mild-steel', 'very-severe'],
  'b545-a': ['tin', 'brass', 'mild'],
  'b545-c': ['tin', 'brass', 'moderate'],
  'b545-c-steel': ['tin', 'mild-steel', 'moderate'],
  'b545-d': ['tin', 'brass', 'severe'],
  'b545-d-steel': ['tin', 'mild-steel', 'severe'],
  'b545-e': ['tin', 'brass', 'very-severe'],
  'silver-table': ['silver', 'brass', 'severe'],
  'gold-plated': ['gold', 'silver', 'moderate'],
};
const outermost = ([deposit, base, service]: [string, string, Service]) =>
  sure(
    depositSystem(library, practice, { deposit, base, service, evenness: 1, polish: 0, wear: 0 }),
  ).layers.at(-1)!.least * 1e6;

const room = (pitch: number, micrometres: number, members: 1 | 2, angle: number, slenderness?: number) =>
  sure(
    threadRoom(practice, {
      pitch: pitch * 1e-3,
      thickness: micrometres * 1e-6,
      members,
      angle,
      ...(slenderness !== undefined && { slenderness }),
    }),
  );
const METRIC = Math.PI / 3;
const THREADS: [id: string, micrometres: number, diameters: number][] = [
  ['thread-3-5d', 3, 5],
  ['thread-5-5d', 5, 5],
  ['thread-5-10d', 5, 10],
  ['thread-5-15d', 5, 15],
  ['thread-8-5d', 8, 5],
  ['thread-10-5d', 10, 5],
  ['thread-12-5d', 12, 5],
  ['thread-12-10d', 12, 10],
  ['thread-12-15d', 12, 15],
  ['thread-15-5d', 15, 5],
  ['thread-20-5d', 20, 5],
  ['thread-25-5d', 25, 5],
  ['thread-30-5d', 30, 5],
  ['thread-30-10d', 30, 10],
  ['thread-30-15d', 30, 15],
];

export const study: Study = {
  ...Object.fromEntries(
    [1050, 1150, 1250, 1350, 1450, 1550, 1650].map((mpa) => [`bake-${mpa}`, () => bake(mpa)]),
  ),
  'relief-1200': () => relief(1200),
  'relief-1500': () => relief(1500),
  'bake-none': () => bake(1000),
  ...Object.fromEntries(Object.entries(SYSTEMS).map(([id, system]) => [id, () => outermost(system)])),
  ...Object.fromEntries(
    THREADS.map(([id, um, diameters]) => [id, () => room(1, um, 1, METRIC, diameters).growth * 1e6]),
  ),
  ...Object.fromEntries(
    [0.35, 0.5, 0.6, 0.7, 0.8, 1].map((pitch) => [
      `room-${String(pitch).replace('.', '')}`,
      () => room(pitch, 1, 1, METRIC).room! * 1e6,
    ]),
  ),
  'm6-both': () => room(1, 5, 2, METRIC).growth * 1e6,
  whitworth: () => room(1, 1, 1, (55 * Math.PI) / 180).factor,
  b571: () => practice.adhesion.size,
};
