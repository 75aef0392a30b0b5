/** What runs teach. May import units and numerics. */
export {};
