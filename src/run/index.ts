/** Instrument links and the run log. */
export {};
