/** Sourced records: load, validate, look up, provenance. May import units. */
export {};
