/** The HTTP door. */
export {};
