import { jobJsonSchema } from '../../job/index.js';
import { jsonSchemas } from '../../library/index.js';
import type { Verb } from '../verb.js';

export const schema: Verb = {
  name: 'schema',
  summary: 'JSON Schema of the job file ("job") or of the library files ("library").',
  arguments: ['<what>'],
  options: [],
  async run([what]) {
    const known: Record<string, () => unknown> = { job: jobJsonSchema, library: jsonSchemas };
    const make = Object.hasOwn(known, what!) ? known[what!] : undefined;
    if (!make)
      return {
        status: 'refused',
        problems: [
          {
            code: 'word-unknown',
            path: 'what',
            message: `There is no schema "${what}".`,
            hint: 'One of job, library.',
          },
        ],
      };
    const json = make();
    return { status: 'done', json, text: JSON.stringify(json, null, 2) };
  },
};
