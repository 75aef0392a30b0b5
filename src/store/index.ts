/** The embedded database. */
export {};
