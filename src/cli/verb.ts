import type { Problem } from '../units/index.js';

/** What a verb hands back: the door prints it and turns it into an exit status. */
export type VerbResult =
  | { status: 'done'; json: unknown; text: string }
  | { status: 'refused'; problems: Problem[]; text?: string }
  | { status: 'not-completed'; json: unknown; text: string };

export interface VerbOption {
  /** As commander reads it, e.g. `--unit <unit>`. */
  flags: string;
  description: string;
}

/** One verb of the command line. `--json` and `--help` are added to every verb by the door. */
export interface Verb {
  name: string;
  summary: string;
  /** As commander reads them, e.g. `<file>` or `[points...]`. */
  arguments: string[];
  options: VerbOption[];
  run(args: string[], options: Record<string, string | boolean | undefined>): Promise<VerbResult>;
}
