/** `npm start`: on a fresh clone installs, builds and starts the server; later only starts it. */
import { built, installed } from './ensure.mjs';

installed();
built();
await import('../dist/server/main.js');
