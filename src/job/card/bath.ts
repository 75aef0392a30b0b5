import { findBath, type Library } from '../../library/index.js';
import type { Job } from '../schema.js';

/** The bath as the card names it: what the job says, else what is usual for its record. */
export interface BathWords {
  title: string;
  /** [K] */
  temperature?: number;
  agitation?: string;
}

export function bathWords(job: Job, library: Library): BathWords {
  const found = findBath(library, job.bath.record);
  const record = found.ok ? found.value : undefined;
  const temperature = job.bath.temperature ?? record?.temperature?.typical;
  const level = job.bath.agitation ?? record?.agitation;
  const agitation = level === undefined ? undefined : (library.agitation.get(level)?.name ?? level);
  return {
    title: record?.name ?? job.bath.record,
    ...(temperature === undefined ? {} : { temperature }),
    ...(agitation === undefined ? {} : { agitation }),
  };
}
