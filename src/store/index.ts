/** The bench book on disk: parts, jobs with their history, forecasts, settings. Imports only units; knows no physics. */
export * from './open.js';
export * from './store.js';
