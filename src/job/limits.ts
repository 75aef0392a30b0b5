import { wireTemperature } from '../electrode/index.js';
import { chosen, type Library } from '../library/index.js';
import { meanOf, quantileOf, spreadOf } from './local.js';
import { type Case, type PlannedStep, type SolvedLevel, type SolvedStep, solveStep } from './plan.js';
import type { Forecast } from './result.js';

type Limit = Forecast['limits'][number];

/** Share of the part that may exceed the burning threshold before it counts as burning: one corner in a hundred (judgement, no source). */
const BURNT_SHARE = 0.01;
/** Warmest a hook may get in air above the liquid [K above the room] (judgement, no source: too hot to touch). */
const HOOK_RISE = 35;
const ROOM = 293.15;

/**
 * What stands in the way of a higher current at a solved level, as factors of room: 1 is at the limit, 2 means that
 * twice the current would be.
 */
export function limitsOf(c: Case, library: Library, step: SolvedStep): Limit[] {
  const level = highest(step);
  const { job, setUp, chemistry } = c;
  const { result, laws } = level;
  const peak = result.current;
  const limits: Limit[] = [];
  const edge = quantileOf(spreadOf(setUp, level.local.currentDensity, setUp.part), 1 - BURNT_SHARE);
  limits.push({
    what: 'edges',
    room: laws.burning / edge,
    explanation: `the sharpest places get ${density(edge)}; in this bath deposits burn from about ${density(laws.burning)}`,
  });
  const window = chemistry.bath.currentDensity!;
  const mean = meanDensity(c, level);
  limits.push({
    what: 'bath',
    room: window.high / mean,
    explanation: `the mean on the part is ${density(mean)}; the bath is run up to ${density(window.high)}`,
  });
  for (const [number, role] of setUp.roles.entries()) {
    if (role.role !== 'anode') continue;
    const law = laws.anodes.get(role.metal)!;
    const { area, current } = result.patches[number]!;
    if (law.dissolutionLimit > 0)
      limits.push({
        what: role.name,
        room: (ANODE_SHARE * law.dissolutionLimit) / (current / area),
        explanation: `it carries ${density(current / area)} and goes passive near ${density(law.dissolutionLimit)}`,
      });
  }
  const { supply, hook } = job;
  if (supply) {
    limits.push({
      what: 'supply current',
      room: supply.maxCurrent / peak,
      explanation: `the supply gives ${amps(supply.maxCurrent)}`,
    });
    limits.push({
      what: 'supply voltage',
      room: voltageRoom(step.cellVoltage, supply.maxVoltage),
      explanation: `the supply gives ${supply.maxVoltage} V`,
    });
  }
  if (hook) {
    const most = hookCurrent(library, hook.metal, hook.diameter);
    if (most !== undefined)
      limits.push({
        what: 'hook',
        room: most / peak,
        explanation: `a ${(hook.diameter * 1e3).toPrecision(2)} mm ${hook.metal} wire grows too hot to touch above ${amps(most)} in air`,
      });
  }
  return limits.sort((a, b) => a.room - b.room);
}

/** Of the density at which an anode goes passive, the share a sound set-up uses (common practice, no source). */
const ANODE_SHARE = 0.9;
const density = (x: number): string => `${(x / 100).toPrecision(2)} A/dm2`;
const amps = (x: number): string => `${x.toPrecision(2)} A`;

/** Voltage rises less than in proportion to the current; its proportional part is what counts near the limit. */
const voltageRoom = (voltage: number, most: number): number => most / Math.max(voltage, 1e-9);

export const highest = (step: SolvedStep): SolvedLevel =>
  step.levels.reduce((a, b) => (b.result.current > a.result.current ? b : a));

/** Mean current density on the part [A/m2]. */
export const meanDensity = ({ setUp }: Case, { result, local }: SolvedLevel): number =>
  meanOf(result, local.currentDensity, setUp.part);

/** Highest current [A] a bare wire carries in air without growing too hot to touch; undefined for an unknown metal. */
export function hookCurrent(library: Library, metal: string, diameter: number): number | undefined {
  const wire = library.bench.conductors.find((w) => w.id === metal || w.names.includes(metal));
  if (!wire) return undefined;
  const conductor = {
    resistivity: chosen(wire.resistivity).value,
    perKelvin: chosen(wire.perKelvin).value,
    referenceTemperature: ROOM,
  };
  let [low, high] = [0, 1];
  while (high < 1e4 && wireTemperature(conductor, diameter, high, ROOM) < ROOM + HOOK_RISE) high *= 2;
  for (let step = 0; step < 40; step++) {
    const middle = (low + high) / 2;
    if (wireTemperature(conductor, diameter, middle, ROOM) < ROOM + HOOK_RISE) low = middle;
    else high = middle;
  }
  return low;
}

/** Wetted metal on the lead of the part [m2]. */
export function workArea(c: Case): number {
  const { domain, roles } = c.setUp;
  return domain.areas.reduce((sum, area, k) => (roles[k]?.role === 'work' ? sum + area : sum), 0);
}

/**
 * The current [A] platewright would set: the usual density of the bath, or less where something burns, goes passive or
 * runs out before that.
 */
export function chooseCurrent(c: Case, library: Library, step: PlannedStep): PlannedStep {
  const { currentDensity: window } = c.chemistry.bath;
  const usual = (window!.typical ?? (window!.low + window!.high) / 2) * workArea(c);
  let current = usual;
  for (let attempt = 0; attempt < 6; attempt++) {
    const planned = { ...step, drive: { current } };
    const room = limitsOf(c, library, solveStep(c, planned))[0]!.room;
    const next = Math.min(usual, current * (room > 1 ? room ** 0.9 : room ** 1.1));
    if (Math.abs(next / current - 1) < 0.02) return planned;
    current = next;
  }
  return { ...step, drive: { current } };
}
