import { findNamed } from '../../library/index.js';
import type { Outcome } from '../../units/index.js';
import type { Practice } from './practice.js';
import type { Deposit, Substrate } from './shapes.js';

/** People write `pot metal`, `pot-metal` and `Pot_Metal`; all three are meant. */
function find<T extends { id: string; name: string; names: string[] }>(
  entries: Iterable<T>,
  typed: string,
  what: string,
  path: string,
): Outcome<T> {
  const all = [...entries];
  const plain = typed.trim().replace(/[-_\s]+/g, ' ');
  for (const text of [typed, plain, plain.replaceAll(' ', '-')]) {
    const found = findNamed(all, text, what, path);
    if (found.ok) return found;
  }
  return findNamed(all, typed, what, path);
}

export const findSubstrate = (practice: Practice, typed: string, path = ''): Outcome<Substrate> =>
  find(practice.substrates.values(), typed, 'substrate', path);

export const findDeposit = (practice: Practice, typed: string, path = ''): Outcome<Deposit> =>
  find(practice.deposits.values(), typed, 'deposit', path);
