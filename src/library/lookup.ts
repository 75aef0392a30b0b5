import { done, type Outcome, type Problem, refused } from '../units/index.js';
import type { Bath, Metal } from './documents.js';
import type { Library } from './library.js';
import { nearestNames } from './nearest.js';

interface Named {
  id: string;
  name: string;
  names: readonly string[];
}

/** Finds by id, name or another name, whatever the case; otherwise a problem with the nearest three. */
export function findNamed<T extends Named>(
  entries: Iterable<T>,
  typed: string,
  what: string,
  path = '',
): Outcome<T> {
  const all = [...entries];
  const wanted = typed.trim().toLowerCase();
  const calls = (entry: T) => [entry.id, entry.name, ...entry.names];
  const found = all.find((entry) => calls(entry).some((name) => name.toLowerCase() === wanted));
  if (found) return done(found);
  // One best name an entry, so that "Ni" and "nickel" do not both use up a suggestion.
  const best = all.map((entry) => nearestNames(typed, calls(entry), 1)[0]!);
  return refused(unknownName(typed, best, what, path));
}

export function unknownName(typed: string, names: Iterable<string>, what: string, path = ''): Problem {
  const near = nearestNames(typed, names);
  return {
    code: `${what.replaceAll(' ', '-')}-unknown`,
    path,
    message: `There is no ${what} "${typed}" in the library.`,
    ...(near.length > 0 && { hint: `Nearest: ${near.join(', ')}.` }),
  };
}

/** A metal by symbol or name. */
export const findMetal = (library: Library, typed: string, path = ''): Outcome<Metal> =>
  findNamed(library.metals.values(), typed, 'metal', path);

/** A bath by id or name; one that platewright gives no help with is a refusal that says why and who can. */
export function findBath(library: Library, typed: string, path = ''): Outcome<Bath> {
  const found = findNamed(library.baths.values(), typed, 'bath', path);
  if (!found.ok || !found.value.refused) return found;
  const { reason, who } = found.value.refused;
  return refused({
    code: 'bath-refused',
    path,
    message: `${found.value.name}: ${reason}`,
    hint: `Who can: ${who}`,
  });
}
