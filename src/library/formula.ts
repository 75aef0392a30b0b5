import type { Library } from './library.js';
import { chosen } from './record.js';

/** Atoms in a formula such as `NiSO4.6H2O`, `H3BO3` or `Ni(CH3COO)2.4H2O`. */
export function atomsOf(formula: string): Map<string, number> {
  const atoms = new Map<string, number>();
  for (const part of formula.split(/[.·]/)) {
    const [, times, rest] = /^(\d*)(.*)$/.exec(part)!;
    for (const [symbol, count] of group(rest!))
      atoms.set(symbol, (atoms.get(symbol) ?? 0) + count * Number(times || 1));
  }
  return atoms;
}

function group(text: string): Map<string, number> {
  const stack: Map<string, number>[] = [new Map()];
  const add = (into: Map<string, number>, symbol: string, count: number) =>
    into.set(symbol, (into.get(symbol) ?? 0) + count);
  let read = 0;
  for (const [token, symbol, count, open, close, after] of text.matchAll(
    /([A-Z][a-z]?)(\d*)|(\()|(\))(\d*)/g,
  )) {
    read += token.length;
    if (open) stack.push(new Map());
    else if (close) {
      const inner = stack.pop()!;
      for (const [s, n] of inner) add(stack.at(-1)!, s, n * Number(after || 1));
    } else add(stack.at(-1)!, symbol!, Number(count || 1));
  }
  if (read !== text.length || stack.length !== 1) throw new Error(`"${text}" is not a formula`);
  return stack[0]!;
}

/**
 * Formula mass from the standard atomic weights.
 *
 * @returns [kg/mol]. Throws on an element the library has no weight for: formulas are ours, not the user's.
 */
export function formulaMass(library: Pick<Library, 'weights'>, formula: string): number {
  let mass = 0;
  for (const [symbol, count] of atomsOf(formula)) {
    const weight = library.weights.get(symbol);
    if (!weight) throw new Error(`no atomic weight for ${symbol} in ${formula}`);
    mass += count * chosen(weight).value;
  }
  return mass;
}
