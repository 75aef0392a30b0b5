/** Everything around the current: preparation, after-treatment, hazards, waste. May import units, numerics, library. */
export {};
