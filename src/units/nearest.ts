/** Edit distance between two names, ignoring case (Wagner and Fischer 1974). */
function distance(a: string, b: string): number {
  const row = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    let diagonal = row[0]!;
    row[0] = i;
    for (let j = 1; j <= b.length; j++) {
      const above = row[j]!;
      row[j] = Math.min(above + 1, row[j - 1]! + 1, diagonal + (a[i - 1] === b[j - 1] ? 0 : 1));
      diagonal = above;
    }
  }
  return row[b.length]!;
}

/** The `count` names most like what was typed, best first. */
export const nearest = (typed: string, names: readonly string[], count = 3): string[] =>
  names
    .map((name) => ({ name, off: distance(typed.toLowerCase(), name.toLowerCase()) }))
    .sort((a, b) => a.off - b.off)
    .slice(0, count)
    .map((n) => n.name);
