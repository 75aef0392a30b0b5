import leven from 'leven';

/**
 * Names most like a mistyped one, best first: by edit distance, with a part of the name counting as near
 * ("watts" finds "Watts nickel").
 *
 * @param count how many to offer, three by default
 */
export function nearestNames(typed: string, names: Iterable<string>, count = 3): string[] {
  const wanted = typed.trim().toLowerCase();
  const score = (name: string): number => {
    const known = name.toLowerCase();
    const short = Math.min(wanted.length, known.length);
    const inside = short > 2 && (known.includes(wanted) || wanted.includes(known));
    return inside ? Math.abs(known.length - wanted.length) / 100 : leven(wanted, known);
  };
  return [...new Set(names)]
    .map((name) => ({ name, score: score(name) }))
    .sort((a, b) => a.score - b.score || a.name.localeCompare(b.name))
    .slice(0, count)
    .map((entry) => entry.name);
}
