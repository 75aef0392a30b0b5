/** THE centre: a job file becomes a check, a placed set-up, a solved field, a forecast and a job card. */
export * from './beaker.js';
export * from './card/index.js';
export type { JobContext } from './context.js';
export * from './export/index.js';
export { type ForecastOptions, type JobResult, runForecast } from './forecast.js';
export { jobJsonSchema, readJob } from './read.js';
export * from './result.js';
export type { Job, JobDocument } from './schema.js';
