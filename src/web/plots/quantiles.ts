/** Value at a share of the area from a table of quantiles, straight between its entries. Pure. */
export function quantileAt(quantiles: Record<string, number>, share: number): number {
  const table = Object.entries(quantiles)
    .map(([key, value]) => [Number(key), value] as const)
    .sort((a, b) => a[0] - b[0]);
  const after = table.findIndex(([level]) => level >= share - 1e-9);
  if (after < 0) return table.at(-1)?.[1] ?? Number.NaN;
  const [high, upper] = table[after]!;
  if (after === 0 || high - share < 1e-9) return upper;
  const [low, lower] = table[after - 1]!;
  return lower + ((share - low) / (high - low)) * (upper - lower);
}
