/** One kind of change made to a part file, and how often. The kinds and what they mean: docs/theory/part-files.md. */
export interface Repair {
  kind: string;
  count: number;
}

/** Adds up repairs of one kind; kinds that never happened do not appear. */
export class RepairLog {
  private readonly counts = new Map<string, number>();
  add(kind: string, count = 1): void {
    if (count > 0) this.counts.set(kind, (this.counts.get(kind) ?? 0) + count);
  }
  addAll(repairs: Repair[]): void {
    for (const { kind, count } of repairs) this.add(kind, count);
  }
  list(): Repair[] {
    return [...this.counts].map(([kind, count]) => ({ kind, count }));
  }
}
