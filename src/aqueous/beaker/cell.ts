import type { BeakerLaws, BeakerSetup, Currents, ElectrodeLaw } from './model.js';

/** Overpotential [V] at which a law carries a current density [A/m2]; the law rises strictly. */
export function overpotentialFor(law: ElectrodeLaw, wanted: number, guess: number): number {
  let low = Math.min(guess, 0) - 0.05;
  let high = Math.max(guess, 0) + 0.05;
  for (let i = 0; i < 60 && law.at(low)[0] > wanted; i++) low = 2 * low - 0.1;
  for (let i = 0; i < 60 && law.at(high)[0] < wanted; i++) high = 2 * high + 0.1;
  let eta = guess > low && guess < high ? guess : (low + high) / 2;
  for (let i = 0; i < 100; i++) {
    const [value, slope] = law.at(eta);
    const miss = value - wanted;
    if (Math.abs(miss) <= 1e-11 * Math.max(Math.abs(wanted), 1e-6)) return eta;
    if (miss > 0) high = eta;
    else low = eta;
    if (high - low < 1e-13) return eta;
    // Exponentials: a step on the logarithm of the ratio where both have one sign, else Newton.
    const next = value * wanted > 0 ? eta + (value / slope) * Math.log(wanted / value) : eta - miss / slope;
    eta = next > low && next < high ? next : (low + high) / 2;
  }
  return eta;
}

/** Where the last solution was, so that the next starts there. */
export interface CellMemory {
  anode: number;
  cathode: number;
  current: number;
}

/** Currents and voltage of the cell at this moment. */
export function cellNow(
  setup: BeakerSetup,
  laws: BeakerLaws,
  conductivity: number,
  memory: CellMemory,
): Currents {
  const resistance = setup.cellConstant / conductivity + setup.leads;
  const { anode, cathode } = laws;
  const rest = anode.restPotential - cathode.restPotential;
  /** Voltage at a current and its slope. */
  const voltageAt = (current: number): [number, number] => {
    memory.anode = overpotentialFor(anode, current / setup.anodeArea, memory.anode);
    memory.cathode = overpotentialFor(cathode, -current / setup.cathodeArea, memory.cathode);
    const slope =
      1 / (setup.anodeArea * anode.at(memory.anode)[1]) +
      1 / (setup.cathodeArea * cathode.at(memory.cathode)[1]) +
      resistance;
    return [rest + memory.anode - memory.cathode + current * resistance, slope];
  };
  let current: number;
  let voltage: number;
  if ('current' in setup.drive) {
    current = setup.drive.current;
    [voltage] = voltageAt(current);
  } else {
    voltage = setup.drive.voltage;
    current = currentAt(voltage, rest, resistance, voltageAt, memory.current);
  }
  memory.current = current;
  const a = anode.split(memory.anode);
  const c = cathode.split(memory.cathode);
  // The parts add up to the total exactly, so that charge is kept to the last digit.
  const anodic = current / (a.dissolution + a.oxygen + a.chlorine || 1);
  const cathodic = current / (c.metal + c.hydrogen || 1);
  return {
    total: current,
    dissolution: a.dissolution * anodic,
    oxygen: a.oxygen * anodic,
    chlorine: a.chlorine * anodic,
    plating: c.metal * cathodic,
    hydrogen: c.hydrogen * cathodic,
    voltage,
  };
}

function currentAt(
  voltage: number,
  rest: number,
  resistance: number,
  voltageAt: (current: number) => [number, number],
  guess: number,
): number {
  if (voltage <= rest) return 0;
  let low = 0;
  let high = (voltage - rest) / resistance + 1e-12;
  let current = guess > low && guess < high ? guess : high / 3;
  for (let i = 0; i < 60; i++) {
    const [v, slope] = voltageAt(current);
    const miss = v - voltage;
    if (Math.abs(miss) < 1e-10) break;
    if (miss > 0) high = current;
    else low = current;
    const next = current - miss / slope;
    current = next > low && next < high ? next : (low + high) / 2;
  }
  return current;
}
