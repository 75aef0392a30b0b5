import type { Deposit } from '../../electrode/index.js';
import { chosen, findMetal, formulaMass, type Library } from '../../library/index.js';
import type { Outcome } from '../../units/index.js';

/**
 * What Faraday's law needs of a metal, from the library.
 *
 * @param valence electrons an atom; the usual one when left out
 */
export function plateable(library: Library, name: string, valence?: number): Outcome<Deposit> {
  const found = findMetal(library, name, 'metal');
  if (!found.ok) return found;
  const { id, density, valences } = found.value;
  return {
    ok: true,
    warnings: [],
    value: {
      molarMass: formulaMass(library, id),
      density: chosen(density).value,
      valence: valence ?? valences[0]!.valence,
    },
  };
}
