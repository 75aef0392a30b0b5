/**
 * The exponential with a straight continuation above `LIMIT`, so that an absurd trial potential inside a solver gives a
 * huge but finite current that still rises. exp(80) is 5e34: no current that exists comes near it.
 */
const LIMIT = 80;
const TOP = Math.exp(LIMIT);

export const growth = (x: number): number => (x <= LIMIT ? Math.exp(x) : TOP * (1 + x - LIMIT));
/** Derivative of `growth`. */
export const growthSlope = (x: number): number => (x <= LIMIT ? Math.exp(x) : TOP);
