/** Computing in the browser: a worker that reads files, places set-ups and makes forecasts. No server does maths. */
export { Engine } from './engine.js';
export type { Progress } from './link.js';
export type { ForecastAnswer, PartReport, PartSource, Preview, Quality } from './messages.js';
