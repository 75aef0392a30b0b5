/** How long work reports progress and hears that it should stop. Doors supply one; `UNWATCHED` ignores both. */
export interface Watch {
  /** Fraction done in [0, 1] and a few words about the stage. */
  report(fraction: number, stage: string): void;
  /** True once the person cancelled; long loops ask every few milliseconds and return a `cancelled` status. */
  cancelled(): boolean;
}

export const UNWATCHED: Watch = { report: () => {}, cancelled: () => false };
