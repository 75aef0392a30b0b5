/**
 * Problems are data. Whatever the user can get wrong is collected in a list and handed to the door that asked,
 * never thrown: an exception is a bug in platewright.
 */
export interface Problem {
  /** Stable machine name, kebab-case, e.g. `unit-missing`, `anode-touches-part`. */
  code: string;
  /** Where: a path in the file or form, e.g. `anodes[0].diameter`; empty for the whole. */
  path: string;
  /** One sentence a plater understands: what is wrong, with the received value and its unit. */
  message: string;
  /** What to try. */
  hint?: string;
}

/** Either a value with remarks that did not stop it, or the reasons why there is none. */
export type Outcome<T> = { ok: true; value: T; warnings: Problem[] } | { ok: false; problems: Problem[] };

export const done = <T>(value: T, warnings: Problem[] = []): Outcome<T> => ({ ok: true, value, warnings });
export const refused = <T>(...problems: Problem[]): Outcome<T> => ({ ok: false, problems });
