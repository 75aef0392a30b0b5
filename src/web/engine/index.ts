/** Computing in the browser: a worker that reads files, places set-ups and makes forecasts. No server does maths. */
export { Engine, type Progress } from './engine.js';
export type { ForecastAnswer, PartReport, PartSource, Preview, Quality } from './messages.js';
