/** THE centre: a job file becomes a check, a placed set-up, a solved field, a forecast and a job card. */
export * from './result.js';
